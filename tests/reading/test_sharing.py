"""Data copied from one vehicle's folder to another is reported at both, each naming the other."""

from __future__ import annotations

import re

import pytest

from sitegen.reading.store import read_store
from tests.reading.texts import INSPECTION, TODAY, write_one

OTHER_VIN = "00ZWA5H4XJD000102"
TREAD = 'date_code: "3523", tread: {outer: 7/32 in, center: 7/32 in, inner: 6/32 in}'
OWN = {
    "earlier_readings[1]": 'earlier_readings: [{reading: "51,200 mi", read_on: 2024-11-02, source: A bill}]\n',
    "services[1]": 'services: [{service: engine_oil, done_on: 2026-03-01, at: "60,000 mi"}]\n',
    "work_done[1]": 'work_done: [{what: New timing belt, on: 2026-03-01, at: "60,000 mi"}]\n',
    "tires": "tires:\n" + "".join(f"  {wheel}: {{{TREAD}}}\n" for wheel in
        ("left_front", "right_front", "left_rear", "right_rear")),
}  # fmt: skip
CHANGED = {
    "earlier_readings[1]": ("51,200", "51,201"),
    "services[1]": ("2026-03-01", "2026-03-02"),
    "work_done[1]": ("60,000", "60,001"),
    "tires": ("6/32", "5/32"),
}


def problems_of(folder, first: str, second: str) -> list[str]:
    """Return all problems of two vehicles whose records end with these texts."""
    vehicle = write_one(folder, INSPECTION + first)
    other = vehicle.with_name("K901")
    other.mkdir()
    text = INSPECTION.replace("K900", "K901").replace("00ZWA5H48JD000101", OTHER_VIN)
    (other / "inspection.yaml").write_text(text + second, "utf-8")
    return [problem.as_line() for problem in read_store(folder, TODAY)[1]]


@pytest.mark.parametrize("where", OWN)
def test_shared_data_is_reported_at_both_vehicles(tmp_path, where):
    lines = problems_of(tmp_path, OWN[where], OWN[where])
    assert len(lines) == 2
    for line, (here, there) in zip(lines, (("K900", "K901"), ("K901", "K900")), strict=True):
        assert re.match(rf"vehicles/{here}/inspection.yaml:\d+:\d+: warning: {re.escape(where)}: ", line)
        assert f"also in vehicles/{there}/inspection.yaml;" in line


@pytest.mark.parametrize("where", OWN)
def test_data_that_differs_in_one_figure_is_not_shared(tmp_path, where):
    assert problems_of(tmp_path, OWN[where], OWN[where].replace(*CHANGED[where], 1)) == []
