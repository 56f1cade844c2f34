"""Changing a price or status edits one line and no other byte. An invalid change edits nothing.

The edited record is read back with PyYAML.
"""

from __future__ import annotations

import difflib
import re
import shutil
from pathlib import Path

import pytest
import yaml

from sitegen.commands import main
from sitegen.intake.editing import with_keys
from tests.builders import write_store
from tests.conftest import DEMO_DAY, REPOSITORY

DEMO = sorted((REPOSITORY / "demo_site" / "vehicles").glob("*/inspection.yaml"))


def other_lines(before: str, after: str) -> list[str]:
    """Return the lines in which two texts differ."""
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
def test_only_the_edited_line_changes(file: Path, line_end: str, mark: str):
    text = mark + file.read_text("utf-8").replace("\n", line_end)
    priced = with_keys(text, {"price": "12,345"})
    assert {line for line in other_lines(text, priced) if line[0] == "+"} == {f"+ price: 12,345{line_end}"}
    sold = with_keys(text, {"sold_on": "2026-11-02", "status": "sold"})
    told = yaml.safe_load(sold.removeprefix(mark))
    assert (told["status"], str(told["sold_on"])) == ("sold", "2026-11-02")
    for_sale = with_keys(sold, {"sold_on": None, "status": "for sale"})
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
def test_comments_special_characters_and_line_ends_are_preserved(
    text: str, changes: dict[str, str | None], expected: str
):
    assert with_keys(text, changes) == expected


def test_a_price_and_a_sale_with_its_day_are_inserted(store: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["price", str(store), "K900", "$12,900"]) == 0
    assert "K900: the price is $12,900. Next: sitegen build" in capsys.readouterr().out
    assert "price: $12,900\n" in record_of(store).read_text("utf-8")
    assert main(["status", str(store), "K900", "sold"]) == 0
    assert yaml.safe_load(record_of(store).read_text("utf-8"))["sold_on"].isoformat() == "2026-11-21"
    assert main(["status", str(store), "K900", "for sale"]) == 0
    assert "sold_on" not in record_of(store).read_text("utf-8")
    assert main(["build", str(store)]) == 0
    assert "$12,900" in (store / "published" / "vehicles" / "K900" / "index.html").read_text("utf-8")


def test_selling_a_sold_vehicle_keeps_the_day_of_sale(store, monkeypatch):
    assert main(["status", str(store), "K900", "sold"]) == 0
    told = record_of(store).read_text("utf-8")
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int(DEMO_DAY) + 9 * 24 * 60 * 60))
    assert main(["status", str(store), "K900", "sold"]) == 0
    assert record_of(store).read_text("utf-8") == told
    assert main(["status", str(store), "K900", "sold", "--on", "2026-11-22"]) == 0
    assert "sold_on: 2026-11-22\n" in record_of(store).read_text("utf-8")


@pytest.mark.parametrize(
    ("said", "code", "told"),
    [
        (["price", "K900", "6.5k"], 2, "expected a price such as 12,900"),
        (["price", "K900", "1 # 2"], 2, "expected a price such as 12,900"),
        (["price", "K900", "0"], 1, "nothing was changed"),
        (["price", "K999", "100"], 1, "there is no vehicle K999; there are K900"),
        (["status", "K900", "gone"], 2, "K900: expected preparing, for sale, on hold or sold, found 'gone'"),
        (["status", "K900", "on hold", "--on", "2026-10-01"], 2, "--on is the day of the sale"),
        (["status", "K900", "sold", "--on", "2027-10-01"], 2, "--on 2027-10-01 is yet to come: at the store it is"),
        (["status", "K900", "sold", "--on", "2026-01-01"], 1, "nothing was changed"),
    ],
)
def test_an_invalid_change_edits_nothing(
    store: Path, capsys: pytest.CaptureFixture[str], said: list[str], code: int, told: str
):
    before = record_of(store).read_bytes()
    assert main([said[0], str(store), *said[1:]]) == code
    assert told in capsys.readouterr().err
    assert record_of(store).read_bytes() == before
    assert sorted(path.name for path in record_of(store).parent.iterdir()) == ["inspection.yaml", "photos"]


LATE_IN_THE_EVENING = "1795838400"
"""2026-11-28, 04:00 UTC: in Chicago it is still the 27th, at ten in the evening (IANA time zone database)."""


def test_today_is_the_day_in_the_stores_time_zone(
    store: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", LATE_IN_THE_EVENING)
    settings = (store / "site.yaml").read_text("utf-8")
    (store / "site.yaml").write_text(re.sub("time_zone: .*", "time_zone: America/Chicago", settings), "utf-8")
    assert main(["status", str(store), "K900", "sold", "--on", "2026-11-28"]) == 2
    assert "--on 2026-11-28 is yet to come: at the store it is 2026-11-27" in capsys.readouterr().err
    assert main(["status", str(store), "K900", "sold", "--on", "2026-11-27"]) == 0
    record_of(store).write_text(record_of(store).read_text("utf-8").replace("2026-11-27", "2026-11-28"), "utf-8")
    capsys.readouterr()
    assert main(["check", str(store)]) == 1
    assert "sold_on: found 2026-11-28; expected a day up to today, 2026-11-27" in capsys.readouterr().err


def test_a_sale_before_other_dates_names_the_option_and_the_line(store: Path, capsys: pytest.CaptureFixture[str]):
    lines = record_of(store).read_text("utf-8").splitlines()
    at = next(number for number, line in enumerate(lines, 1) if line.strip().startswith("read_on: "))
    day = lines[at - 1].split()[-1].strip("'")
    assert main(["status", str(store), "K900", "sold", "--on", "2026-01-01"]) == 1
    told = capsys.readouterr().err
    assert (
        f"vehicles/K900/inspection.yaml:{at}:12: odometer.read_on: found {day}; expected a day up to 2026-01-01, the "
        "day of the sale (--on); to mend, give another day with --on, or check the day in this line\n"
    ) in told


@pytest.mark.parametrize("change", [["price", "K900", "100"], ["status", "K900", "sold"]])
def test_a_problem_below_the_edit_has_its_line_in_the_file(
    store: Path, capsys: pytest.CaptureFixture[str], change: list[str]
):
    wrong = record_of(store).read_text("utf-8").replace("6/32 in", "6/23 in", 1)
    record_of(store).write_text(wrong, "utf-8")
    at = next(number for number, line in enumerate(wrong.splitlines(), 1) if "6/23 in" in line)
    assert main([change[0], str(store), *change[1:]]) == 1
    assert f"vehicles/K900/inspection.yaml:{at}:" in capsys.readouterr().err


def test_an_invalid_record_is_reported_and_unchanged(store: Path, capsys: pytest.CaptureFixture[str]):
    wrong = record_of(store).read_text("utf-8").replace("6/32 in", "6/23 in", 1)
    record_of(store).write_text(wrong, "utf-8")
    assert main(["price", str(store), "K900", "100"]) == 1
    assert "found 6/23 in" in capsys.readouterr().err
    assert record_of(store).read_text("utf-8") == wrong
    shutil.rmtree(store / "vehicles" / "K900" / "photos")
    assert main(["price", str(store), "K900", "100"]) == 1


def test_many_prices_and_statuses_are_changed_at_once_from_pairs_or_a_table(store, tmp_path, capsys):
    assert main(["price", str(store), "K900", "12,900", "K999", "9,000"]) == 1
    told = capsys.readouterr()
    assert "K900: the price is 12,900" in told.out
    assert "there is no vehicle K999" in told.err
    table = tmp_path / "prices.csv"
    table.write_bytes("\ufeffPrice;Stock\r\n$11,500;K900\r\n".encode())
    assert main(["price", str(store), "--from", str(table)]) == 0
    assert yaml.safe_load(record_of(store).read_text("utf-8"))["price"] == "$11,500"
    assert main(["status", str(store), "K900", "On-Hold"]) == 0
    assert yaml.safe_load(record_of(store).read_text("utf-8"))["status"] == "on hold"


def test_wrong_pairs_and_tables_change_nothing_and_name_each_mistake(store, tmp_path, capsys):
    before = record_of(store).read_bytes()
    assert main(["price", str(store), "K900", "12,900", "K901"]) == 2
    assert main(["status", str(store), "K900", "soled", "K901", "gone"]) == 2
    assert 'did you mean "sold"?' in (told := capsys.readouterr().err)
    assert "K901: expected preparing" in told
    table = tmp_path / "prices.csv"
    table.write_text("stock,price\nK900,9000,1\nK901,\n", "utf-8")
    assert main(["price", str(store), "--from", str(table)]) == 1
    told = capsys.readouterr().err
    assert "prices.csv:2:1" in told
    assert "prices.csv:3:1" in told
    assert record_of(store).read_bytes() == before
