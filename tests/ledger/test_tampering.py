"""Whatever is altered, taken out, moved or cut off is found, and named. Sources: FIPS 180-4, RFC 8785."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from sitegen.ledger.verifying import faults_of_ledger
from tests.ledger.conftest import change, publish_on

pytestmark = pytest.mark.xdist_group("ledger")

TAMPERINGS = 1_000


def flip(content: bytes, chance: random.Random) -> bytes:
    """Return the content with one bit changed."""
    at = chance.randrange(len(content))
    return content[:at] + bytes([content[at] ^ (1 << chance.randrange(8))]) + content[at + 1 :]


def tampered_ledger(content: bytes, chance: random.Random) -> tuple[str, bytes]:
    lines = content.splitlines(keepends=True)
    one, two = sorted(chance.sample(range(len(lines)), 2))
    changed_round = [*lines[:one], lines[two], *lines[one + 1 : two], lines[one], *lines[two + 1 :]]
    how, other = chance.choice(
        [
            ("a bit", flip(content, chance)),
            ("a line taken out", b"".join(lines[:one] + lines[one + 1 :])),
            ("two lines changed round", b"".join(changed_round)),
            ("a line twice", b"".join([*lines[: two + 1], lines[one], *lines[two + 1 :]])),
            ("lines cut off", b"".join(lines[: max(one, 0)])),
            ("bytes cut off", content[: chance.randrange(len(content))]),
        ]
    )  # fmt: skip
    return how, other


def test_every_tampering_is_found_and_named(published_thrice: Path, tmp_path: Path):
    store = shutil.copytree(
        published_thrice, tmp_path / "store", ignore=shutil.ignore_patterns("published", ".cache")
    )
    assert list(faults_of_ledger(store)) == []
    ledger = store / "ledger.jsonl"
    kept = sorted(path for path in (store / "revisions").rglob("*") if path.is_file())
    assert {path.suffix for path in kept} == {".json", ".html", ".jpg", ""}
    chance = random.Random(20261126)
    for number in range(TAMPERINGS):
        if chance.random() < 0.5:
            whole = ledger.read_bytes()
            how, other = tampered_ledger(whole, chance)
            ledger.write_bytes(other)
            found = list(faults_of_ledger(store))
            ledger.write_bytes(whole)
            assert other != whole
            assert any(place.startswith(("ledger.jsonl:", "revisions/head")) for place, _ in found), (number, how)
            continue
        file = chance.choice(kept)
        whole = file.read_bytes()
        if chance.random() < 0.5:
            file.unlink()
        else:
            file.write_bytes(flip(whole, chance))
        found = list(faults_of_ledger(store))
        file.write_bytes(whole)
        name = file.relative_to(store).as_posix()
        assert [place for place, _ in found if place in (name, name.removesuffix(".jpg"))], (number, name)
    assert list(faults_of_ledger(store)) == []


def test_revisions_that_no_line_tells_of_are_named_too(published_thrice: Path, tmp_path: Path):
    """Somebody who cuts the end off the ledger and writes its head anew has also to clear away what it told of."""
    store = shutil.copytree(
        published_thrice, tmp_path / "store", ignore=shutil.ignore_patterns("published", ".cache")
    )
    lines = (store / "ledger.jsonl").read_bytes().splitlines(keepends=True)
    (store / "ledger.jsonl").write_bytes(b"".join(lines[:3]))
    shutil.rmtree(store / "revisions" / "head", ignore_errors=True)
    (store / "revisions" / "head").unlink(missing_ok=True)
    places = [place for place, _ in faults_of_ledger(store)]
    assert "revisions/K900/2/record.json" in places
    assert "revisions/head" in places


@pytest.mark.parametrize("left", [0, 1, 200])
def test_a_line_that_never_got_its_end_is_taken_off_by_the_next_build(
    published_thrice: Path, tmp_path: Path, left: int
):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    whole = (store / "ledger.jsonl").read_bytes()
    with (store / "ledger.jsonl").open("ab") as file:
        file.write(b'{"addresses":[],"before":"0123'[:left])
    change(store, "K900", "price: 12900", "price: 12800")
    publish_on("2026-11-03", store)
    assert list(faults_of_ledger(store)) == []
    assert (store / "ledger.jsonl").read_bytes().startswith(whole)
