"""One vehicle from a new store to its buyer, with the commands only, and what a real host serves of it."""

from __future__ import annotations

import subprocess
import zipfile
from pathlib import Path
from typing import Any

import yaml

from tests.builders import write_photo
from tests.conftest import run_sitegen
from tests.hosts import Host
from tests.nginx import nginx_host
from tests.pages.bay_entries import answers, vocabulary_of

PAGE = "/vehicles/K111/"
KNOWN = (
    *("--vin", "00ZWA5H4XJD000102", "--odometer", "64,000 mi", "--on", "2026-11-10"),
    *("--make", "Brevik", "--model", "Fjordline", "--body", "suv", "--drive", "awd", "--fuel", "gas"),
    *("--terms", "as is"),
)
RUST = """\
defects:
- id: sill-rust
  kind: surface rust
  where: left side, sill
  affects: looks
  words: Brown spots along the sill.
  done: left as it is
"""
WHY = "It was dirt and came off in the wash."
CLOSE = {"photo": "a", "type": "image/jpeg", "width": 640, "height": 480}
LATER: dict[str, Any] = {
    "stock": "K111", "vin": "00ZWA5H4XJD000102", "year": "2018", "make": "Brevik", "model": "Fjordline",
    "body": "suv", "drive": "awd", "fuel": "gasoline", "terms": "as is",
    "odometer": "64,200", "read_on": "2026-11-12",
    "tires": {"left_front": {"inner": "5/32 in"}},
    "defects": [
        {"station": "rear", "part": "lid", "kind": "dent", "affects": "looks", "words": "The size of a coin.",
         "close": CLOSE},
        {"station": "left side", "part": "Sill", "kind": "surface rust", "affects": "looks", "words": "Still there."},
    ],
}  # fmt: skip
"""What a technician enters at the later inspection. The page numbers the defects by itself."""


def did(day: int, *arguments: str | Path) -> str:
    """Run a command on a day of November 2026, at noon in UTC, and return what it says."""
    done = run_sitegen(*arguments, env={"SOURCE_DATE_EPOCH": str(1_793_534_400 + (day - 1) * 86_400)})
    assert done.returncode == 0, done.stderr
    return done.stdout


def asked(host: Host) -> str:
    status, _, body = host.ask(PAGE)
    assert status == 200
    return body.decode().replace("\N{NO-BREAK SPACE}", " ")


def zip_of_the_bay_page(entries: dict[str, Any], folder: Path) -> Path:
    """Return what the bay page saves of some entries; every photo is the same."""
    (answer,) = answers([entries], vocabulary_of("us"), entries["read_on"])
    assert answer["must"] == []
    packed = folder / f"{entries['stock']}.zip"
    write_photo(folder / "taken.jpg")
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("inspection.yaml", answer["text"])
        for name in answer["files"]:
            archive.write(folder / "taken.jpg", f"photos/{name}")
    return packed


def test_a_vehicle_comes_in_is_priced_looked_at_again_corrected_sold_and_handed_over(tmp_path: Path):
    store, photos = tmp_path / "store", tmp_path / "photos"
    photos.mkdir()
    write_photo(photos / "front.jpg")
    did(10, "start", store)
    did(10, "intake", store, "K111", *KNOWN, "--photos", photos)
    record = store / "vehicles" / "K111" / "inspection.yaml"
    before = record.read_text("utf-8")
    record.write_text(f"{before}{RUST}", "utf-8")
    did(10, "price", store, "K111", "13,450")
    did(10, "status", store, "K111", "for sale")
    did(10, "build", store)
    with nginx_host(store / "published", tmp_path) as host:
        assert 'id="sill-rust"' in asked(host)
        did(11, "price", store, "K111", "12,900")
        did(11, "build", store)
        assert "$12,900" in asked(host)

        told = did(12, "intake", store, zip_of_the_bay_page(LATER, tmp_path))
        assert "surface-rust-2 is sill-rust" in told
        did(12, "build", store)
        assert 'id="sill-rust"' in asked(host)
        assert 'id="dent-1"' in asked(host)
        assert "We looked at this vehicle before, on November 10, 2026, 200 mi ago." in asked(host)
        assert "$12,900" in asked(host)

        correction = store / "vehicles" / "K111" / "visits" / "2026-11-13.yaml"
        gone = {"id": "sill-rust", "now": "not found"}
        correction.write_text(yaml.safe_dump({"on": "2026-11-13", "defects": [gone]}), "utf-8")
        held = run_sitegen("build", store, env={"SOURCE_DATE_EPOCH": str(1_793_534_400 + 12 * 86_400)})
        assert held.returncode == 1
        assert "visits/2026-11-13.yaml:" in held.stderr
        assert 'id="sill-rust"' in asked(host)
        correction.write_text(yaml.safe_dump({"on": "2026-11-13", "defects": [{**gone, "reason": WHY}]}), "utf-8")
        did(13, "build", store)
        assert 'id="sill-rust"' not in asked(host)
        assert "came off in the wash" in asked(host)
        assert "sill-rust" not in did(13, "desk", store)
        assert host.ask("/desk/sales/index.html")[0] == 404

        did(14, "status", store, "K111", "sold", "--on", "2026-11-14")
        did(14, "build", store)
        assert "November 14, 2026" in asked(host)
    assert "Brown spots along the sill." in did(15, "ledger", store, "show", "K111", "--on", "2026-11-11")
    handed = tmp_path / "for-the-buyer.zip"
    did(15, "ledger", store, "hand-over", "K111", "--to", handed)
    with zipfile.ZipFile(handed) as papers:
        papers.extractall(tmp_path / "papers")
    sums = next((tmp_path / "papers").rglob("SHA256SUMS"))
    checked = subprocess.run(["sha256sum", "--check", "--strict", sums.name], cwd=sums.parent, capture_output=True)
    assert checked.returncode == 0, checked.stdout
