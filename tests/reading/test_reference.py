"""Reference files are read as strictly as a store's files. An error in one raises, with its place."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
import yaml

from sitegen.reading.reference.figures import read_figures
from sitegen.reading.reference.vocabulary import read_plausible, read_vocabulary
from sitegen.records.vehicle import Body, Drive, Fuel
from sitegen.shared_data import content_folder


@pytest.fixture
def content(tmp_path):
    return shutil.copytree(content_folder(), tmp_path / "content")


def test_check_points_name_only_existing_traits():
    traits = {trait.value for kind in (Fuel, Drive, Body) for trait in kind}
    points = read_vocabulary(content_folder()).check_points
    assert {key: set(point.only_for) - traits for key, point in points.items() if set(point.only_for) - traits} == {}


def test_services_are_unique_and_exclusions_name_services():
    vocabulary = read_vocabulary(content_folder())
    assert len(set(vocabulary.prices)) == len(vocabulary.prices)
    assert set(vocabulary.services) < set(vocabulary.prices)
    without = {service for services in vocabulary.services_not_for.values() for service in services}
    assert without <= set(vocabulary.services)


def test_an_invalid_reference_file_raises_with_its_place(content):
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
def test_the_figures_of_every_region_are_valid(region):
    assert read_figures(content_folder(), region).region.region.value == region


def test_an_unknown_region_raises():
    with pytest.raises(ValueError, match=r"^regions/mars\.yaml: found no such file;"):
        read_figures(content_folder(), "mars")


def test_plausible_ranges_run_from_low_to_high():
    """Common practice: 20/32 in passes and 21/32 in gets a warning; 80 psi is the highest pressure."""
    plausible = read_plausible(content_folder())
    ranges = [getattr(plausible, name) for name in type(plausible).model_fields]
    assert [figure for figure in ranges if not figure.low < figure.high] == []
    assert 20 < plausible.tread.high.thirty_seconds < 21
    assert plausible.pressure.high.written == "80 psi"
    bounds = [(figure.high, figure.never_above) for figure in ranges if figure.never_above is not None]
    assert bounds
    assert [high for high, most in bounds if not high < most] == []


# Files that hold names alone. A figure is any number in another file, or any text of a number and its unit.
WITHOUT_FIGURES = {"check_points.yaml", "defect_kinds.yaml", "services.yaml"}
FIGURE = re.compile(r"\d[\d,.]*(/32)? ?(in|mm|mi|km|%|V|°C|µm|psi)")


def figures_of(value, path, known):
    """Yield the place of each figure, and whether it has `source` and `known` or inherits them."""
    if isinstance(value, dict):
        known = known | (value.keys() & {"source", "known"})
        for key, part in value.items():
            yield from figures_of(part, (*path, key), known)
    elif isinstance(value, list):
        for place, part in enumerate(value):
            yield from figures_of(part, (*path, place), known)
    elif isinstance(value, bool):
        return  # says whether something applies, and is no figure
    elif isinstance(value, (int, float)) or FIGURE.fullmatch(str(value)):
        yield ".".join(map(str, path)), known == {"source", "known"}


def test_every_figure_has_a_source_and_says_how_it_is_known():
    folder = content_folder() / "reference"
    # What a new store begins with is an example for its owner to replace, and states nothing of ours.
    shared = [file for file in sorted(folder.rglob("*.yaml")) if "starter" not in file.parts]
    files = [file for file in shared if file.name not in WITHOUT_FIGURES]
    found = {
        f"{file.name} {place}": sourced
        for file in files
        for place, sourced in figures_of(yaml.safe_load(file.read_text("utf-8")), (), frozenset())
        if not place.endswith("belt")
    }
    assert len(found) > 250
    assert [place for place, sourced in found.items() if not sourced] == []


# Compared with the texts or, where they could not be seen, marked as remembered: 49 CFR 570.9 and 570.5, the
# European and British instruments and DOT 5.1 (49 CFR 571.116) were not read; 570.62, 570.59 and 580.17 were.
@pytest.mark.parametrize(
    ("file", "path", "known"),
    [
        ("regions/us.yaml", ("tread_limits", 0), "from memory"),
        ("regions/us.yaml", ("tread_limits", 1), "verified"),
        ("regions/us.yaml", ("lining_limits", 0), "from memory"),
        ("regions/us.yaml", ("odometer_exemption",), "verified"),
        ("regions/eu.yaml", ("tread_limits", 0), "from memory"),
        ("regions/eu.yaml", ("lining_limits", 0), "common practice"),
        ("regions/gb.yaml", ("tread_limits", 0), "from memory"),
        ("fluids.yaml", ("brake_fluid", "DOT 5"), "verified"),
        ("fluids.yaml", ("brake_fluid", "DOT 5.1"), "from memory"),
        ("body.yaml", ("rust", "grades", 4), "verified"),
        ("body.yaml", ("rust", "grades", 5), "from memory"),
        ("body.yaml", ("paint_uneven_from",), "common practice"),
        ("brakes.yaml", ("rear", "new_shoes"), "common practice"),
        ("tires.yaml", ("load_index",), "verified"),
    ],
)
def test_unverified_figures_are_not_marked_verified(file, path, known):
    found = yaml.safe_load((Path(content_folder()) / "reference" / file).read_text("utf-8"))
    for key in path:
        found = found[key]
    assert found["known"] == known
