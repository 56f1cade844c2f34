"""One vehicle from a new store to its buyer, by the commands alone, and what a visitor gets of it from a real host.

Outside sources: the README, whose commands these are; RFC 9110, 15.5.5 (what an address without a page would answer).
"""

from __future__ import annotations

import subprocess
import zipfile
from pathlib import Path

from tests.builders import write_photo
from tests.conftest import run_sitegen
from tests.nginx import Host, nginx_host

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
"""
WHY = """\
history:
- on: 2026-11-12
  what: It was dirt and came off in the wash.
  about: [defects.sill-rust]
"""


def did(day: int, *arguments: str | Path) -> str:
    """Run a command on a day of November 2026, at noon in UTC, and return what it says."""
    done = run_sitegen(*arguments, env={"SOURCE_DATE_EPOCH": str(1_793_534_400 + (day - 1) * 86_400)})
    assert done.returncode == 0, done.stderr
    return done.stdout


def asked(host: Host) -> str:
    status, _, body = host.ask(PAGE)
    assert status == 200
    return body.decode()


def test_a_vehicle_comes_in_is_priced_corrected_sold_and_handed_over(tmp_path: Path):
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

        record.write_text(record.read_text("utf-8").replace(RUST, ""), "utf-8")
        held = run_sitegen("build", store)
        assert held.returncode == 1
        assert "defects.sill-rust" in held.stderr
        assert 'id="sill-rust"' in asked(host)
        record.write_text(record.read_text("utf-8") + WHY, "utf-8")
        did(12, "build", store)
        assert 'id="sill-rust"' not in asked(host)
        assert "came off in the wash" in asked(host)
        assert "sill-rust" not in did(12, "desk", store)
        assert host.ask("/desk/sales/index.html")[0] == 404

        did(13, "status", store, "K111", "sold", "--on", "2026-11-13")
        did(13, "build", store)
        assert "November 13, 2026" in asked(host)
    assert "Brown spots along the sill." in did(14, "ledger", store, "show", "K111", "--on", "2026-11-11")
    handed = tmp_path / "K111.zip"
    did(14, "ledger", store, "hand-over", "K111", "--to", handed)
    with zipfile.ZipFile(handed) as papers:
        papers.extractall(tmp_path / "papers")
    sums = next((tmp_path / "papers").rglob("SHA256SUMS"))
    checked = subprocess.run(["sha256sum", "--check", "--strict", sums.name], cwd=sums.parent, capture_output=True)
    assert checked.returncode == 0, checked.stdout
