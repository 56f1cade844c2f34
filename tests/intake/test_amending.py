"""A price or a status changes its own line and no other byte; what would be wrong changes nothing.

No outside source but PyYAML, which reads the record again.
"""

from __future__ import annotations

import difflib
import shutil
from pathlib import Path

import pytest
import yaml

from sitegen.commands import main
from sitegen.intake.amending import amended
from tests.builders import write_store
from tests.conftest import DEMO_DAY, REPOSITORY

DEMO = sorted((REPOSITORY / "demo_site" / "vehicles").glob("*/inspection.yaml"))


def other_lines(before: str, after: str) -> list[str]:
    """Return the lines that are not in both, as a comparison of texts marks them."""
    compared = difflib.ndiff(before.splitlines(keepends=True), after.splitlines(keepends=True))
    return [line for line in compared if line[0] in "+-"]


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DEMO_DAY)
    return write_store(tmp_path / "store")


def record_of(store: Path) -> Path:
    return store / "vehicles" / "K900" / "inspection.yaml"


@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.parent.name)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\N{BYTE ORDER MARK}"])
def test_only_the_line_that_is_meant_changes(file: Path, line_end: str, mark: str):
    text = mark + file.read_text("utf-8").replace("\n", line_end)
    priced = amended(text, {"price": "12,345"})
    assert {line for line in other_lines(text, priced) if line[0] == "+"} == {f"+ price: 12,345{line_end}"}
    sold = amended(text, {"sold_on": "2026-11-02", "status": "sold"})
    told = yaml.safe_load(sold.removeprefix(mark))
    assert (told["status"], str(told["sold_on"])) == ("sold", "2026-11-02")
    for_sale = amended(sold, {"sold_on": None, "status": "for sale"})
    expected = {**yaml.safe_load(text.removeprefix(mark)), "status": "for sale"}
    expected.pop("sold_on", None)
    assert yaml.safe_load(for_sale.removeprefix(mark)) == expected
    assert len(other_lines(text, for_sale)) <= 4
    assert for_sale.count(line_end) == for_sale.count("\n")


@pytest.mark.parametrize(
    ("text", "changes", "expected"),
    [
        ("stock: K1\nprice: 5  # low\nnotes: a\n", {"price": "6"}, "stock: K1\nprice: 6  # low\nnotes: a\n"),
        ("stock: K1\nprice:\nnotes: a\n", {"price": "6"}, "stock: K1\nprice: 6\nnotes: a\n"),
        ('stock: K1\n"price": "5"', {"price": "6"}, 'stock: K1\n"price": 6'),
        ("stock: K1", {"price": "6"}, "stock: K1\nprice: 6\n"),
        ("# é\nstock: K1 # é\nsold_on: 2026-01-01", {"sold_on": None}, "# é\nstock: K1 # é\n"),
    ],
)  # fmt: skip
def test_comments_signs_and_ends_stay(text: str, changes: dict[str, str | None], expected: str):
    assert amended(text, changes) == expected


def test_a_price_is_put_in_and_a_sale_with_its_day(store: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["price", str(store), "K900", "$12,900"]) == 0
    assert "K900: the price is $12,900. Next: sitegen build" in capsys.readouterr().out
    assert "price: $12,900\n" in record_of(store).read_text("utf-8")
    assert main(["status", str(store), "K900", "sold"]) == 0
    assert yaml.safe_load(record_of(store).read_text("utf-8"))["sold_on"].isoformat() == "2026-11-21"
    assert main(["status", str(store), "K900", "for sale"]) == 0
    assert "sold_on" not in record_of(store).read_text("utf-8")
    assert main(["build", str(store)]) == 0
    assert "$12,900" in (store / "published" / "vehicles" / "K900" / "index.html").read_text("utf-8")


@pytest.mark.parametrize(
    ("said", "code", "told"),
    [
        (["price", "K900", "6.5k"], 2, "expected a price such as 12,900"),
        (["price", "K900", "1 # 2"], 2, "expected a price such as 12,900"),
        (["price", "K900", "0"], 1, "nothing was changed"),
        (["price", "K999", "100"], 1, "there is no vehicle K999; there are K900"),
        (["status", "K900", "gone"], 2, "invalid choice: 'gone'"),
        (["status", "K900", "on hold", "--on", "2026-10-01"], 2, "--on is the day on which it was sold"),
        (["status", "K900", "sold", "--on", "2027-10-01"], 1, "nothing was changed"),
    ],
)
def test_what_would_be_wrong_changes_nothing(
    store: Path, capsys: pytest.CaptureFixture[str], said: list[str], code: int, told: str
):
    before = record_of(store).read_bytes()
    assert main([said[0], str(store), *said[1:]]) == code
    assert told in capsys.readouterr().err
    assert record_of(store).read_bytes() == before
    assert sorted(path.name for path in record_of(store).parent.iterdir()) == ["inspection.yaml", "photos"]


def test_a_record_that_is_wrong_elsewhere_is_told_and_stays(store: Path, capsys: pytest.CaptureFixture[str]):
    wrong = record_of(store).read_text("utf-8").replace("6/32 in", "6/23 in", 1)
    record_of(store).write_text(wrong, "utf-8")
    assert main(["price", str(store), "K900", "100"]) == 1
    assert "found 6/23 in" in capsys.readouterr().err
    assert record_of(store).read_text("utf-8") == wrong
    shutil.rmtree(store / "vehicles" / "K900" / "photos")
    assert main(["price", str(store), "K900", "100"]) == 1
