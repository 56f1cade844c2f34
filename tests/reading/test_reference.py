"""What ships with the generator is read by the same strict road; a fault in it stops the program, with its place."""

from __future__ import annotations

import re
import shutil

import pytest

from sitegen.reading.reference.figures import read_figures
from sitegen.reading.reference.vocabulary import read_plausible, read_vocabulary
from sitegen.records.vehicle import Body, Drive, Fuel
from sitegen.shared_data import content_folder


@pytest.fixture
def content(tmp_path):
    return shutil.copytree(content_folder(), tmp_path / "content")


def test_check_points_name_only_fuels_drives_and_bodies_that_there_are():
    traits = {trait.value for kind in (Fuel, Drive, Body) for trait in kind}
    points = read_vocabulary(content_folder()).check_points
    assert {key: set(point.only_for) - traits for key, point in points.items() if set(point.only_for) - traits} == {}


def test_services_are_named_once_and_what_a_fuel_has_not_is_among_them():
    vocabulary = read_vocabulary(content_folder())
    assert len(set(vocabulary.prices)) == len(vocabulary.prices)
    assert set(vocabulary.services) < set(vocabulary.prices)
    without = {service for services in vocabulary.services_not_for.values() for service in services}
    assert without <= set(vocabulary.services)


def test_a_fault_in_a_reference_file_is_raised_with_its_place(content):
    file = content / "reference" / "check_points.yaml"
    file.write_text("headlights: {station: frontt}\n")
    words = (
        "check_points.yaml:1:23: headlights.station: found frontt; expected front, left front, left side, left rear, "
        "rear, right rear, right side, right front, roof and glass, wheels, cabin, load space, engine bay or "
        "underside; "
        'to mend, did you mean "front"?'
    )
    with pytest.raises(ValueError, match=f"^{re.escape(words)}$"):
        read_vocabulary(content)


@pytest.mark.parametrize("region", ["us", "gb", "eu"])
def test_the_figures_of_every_region_are_right(region):
    assert read_figures(content_folder(), region).region.region.value == region


def test_a_region_without_figures_is_raised():
    with pytest.raises(ValueError, match=r"^regions/mars\.yaml: found no such file;"):
        read_figures(content_folder(), "mars")


def test_plausible_figures_run_from_low_to_high():
    """Ranges of common practice: the deepest new tread in use is 21/32 in, the most that is pumped in 80 psi."""
    plausible = read_plausible(content_folder())
    ranges = [getattr(plausible, name) for name in type(plausible).model_fields]
    assert [figure for figure in ranges if not figure.low < figure.high] == []
    assert plausible.tread.high.thirty_seconds == 21
    assert plausible.pressure.high.written == "80 psi"
