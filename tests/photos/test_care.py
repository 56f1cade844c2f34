"""Warnings about photos: demo photos spoiled as happens on a lot, and captions without a description."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageEnhance, ImageFilter

from sitegen.photos.opening.descriptions import is_description
from sitegen.photos.opening.limits import photo_limits
from sitegen.reading.store import read_store
from sitegen.records.problems import Problem, Severity
from tests.conftest import REPOSITORY
from tests.photos.lots import naming, photos_folder, store_of, warnings_of

DEMO = REPOSITORY / "demo_site"
GOOD = ("front-three-quarter-left.jpg", "side-right.jpg", "wheel-left-front.jpg", "odometer.jpg", "door-dent.jpg")


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A store with five good photos of the demo vehicle K103."""
    for file in GOOD:
        (photos_folder(tmp_path) / file).write_bytes((DEMO / "vehicles/K103/photos" / file).read_bytes())
    return tmp_path


def told(lot: Path, *files: str, **changes: Any) -> list[tuple[str, str]]:
    """Return the file's name and what was found, of every warning about a vehicle with these photos."""
    store = store_of(lot, {**naming(*files), **changes})
    warnings = warnings_of(store)
    assert {warning.severity for warning in warnings} <= {Severity.WARNING}
    return [(Path(warning.file).name, warning.found) for warning in warnings]


def good(lot: Path) -> Image.Image:
    """Return a good photo, to be spoiled."""
    with Image.open(photos_folder(lot) / "odometer.jpg") as photo:
        return photo.convert("RGB")


def test_good_photos_give_no_warning(lot):
    assert told(lot, *GOOD) == []


def test_the_demo_store_is_warned_only_of_what_is_true(tmp_path):
    """Its defects with one photo were counted by hand in the inspections; nothing else is wrong with its photos."""
    store, problems = read_store(DEMO, date(2026, 11, 21))
    assert store is not None, problems
    warnings = warnings_of(store, tmp_path)
    alone = {
        (vehicle.inspection_file, f"defects[{number}].photos")
        for vehicle in store.vehicles
        for number, defect in enumerate(vehicle.record.defects, start=1)
        if len(defect.photos) == 1
    }
    assert {(warning.file, warning.where) for warning in warnings} == alone
    assert {warning.found for warning in warnings} <= {"a defect without a context photo"}


def test_a_blurred_photo(lot):
    """A hand that shook: out of focus by 8 pixels of 1600, which the eye sees at once."""
    good(lot).filter(ImageFilter.GaussianBlur(8)).save(photos_folder(lot) / "shaken.jpg", quality=92)
    told_of = told(lot, *GOOD[:3], GOOD[4], "shaken.jpg")
    assert told_of == [("shaken.jpg", "a blurred photo")]


def test_a_dark_photo(lot):
    """Taken at night: a twelfth of the light."""
    ImageEnhance.Brightness(good(lot)).enhance(1 / 12).save(photos_folder(lot) / "night.jpg", quality=92)
    warnings = told(lot, *GOOD[:3], "night.jpg")
    assert [file for file, _ in warnings] == ["night.jpg"]
    assert warnings[0][1].startswith("a photo too dark to see much (mean brightness ")


def test_the_same_view_twice(lot):
    """The shutter pressed twice: moved a little, a little brighter, written anew."""
    again = ImageEnhance.Brightness(good(lot).rotate(1)).enhance(1.1)
    again.save(photos_folder(lot) / "again.jpg", quality=85)
    assert told(lot, *GOOD, "again.jpg") == [("again.jpg", "nearly the same photo as odometer.jpg")]


def test_a_photo_that_another_vehicle_has_too(lot):
    """A folder was copied: the bytes are the same, whatever the file is called."""
    copied = (DEMO / "vehicles/K103/photos/odometer.jpg").read_bytes()
    (photos_folder(lot, "K901") / "dash.jpg").write_bytes(copied)
    store = store_of(lot, naming(*GOOD), {"stock": "K901", **naming("dash.jpg")})
    warnings = warnings_of(store)
    assert [(warning.file, warning.found) for warning in warnings if "the same file" in warning.found] == [
        ("vehicles/K900/photos/odometer.jpg", "the same file as vehicles/K901/photos/dash.jpg"),
        ("vehicles/K901/photos/dash.jpg", "the same file as vehicles/K900/photos/odometer.jpg"),
    ]


def test_a_photo_used_in_every_folder_names_three_others(lot):
    """In each of 10,000 vehicles, all others by name would be a gigabyte."""
    stocks = [f"K90{number}" for number in range(6)]
    for stock in stocks:
        (photos_folder(lot, stock) / "to-come.jpg").write_bytes((lot / "vehicles/K900/photos" / GOOD[0]).read_bytes())
    store = store_of(lot, *({"stock": stock, **naming("to-come.jpg")} for stock in stocks))
    warnings = warnings_of(store)
    told = [warning.found for warning in warnings if "the same file" in warning.found]
    named = " and ".join(f"vehicles/{stock}/photos/to-come.jpg" for stock in stocks[1:4])
    assert told[0] == f"the same file as {named} and 2 more"
    assert len(told) == 6


@pytest.mark.parametrize(
    ("width", "found"),
    [(1280, []), (1200, [("front.jpg", "a photo 1200 pixels wide")])],
)
def test_a_first_photo_too_small_for_its_place(lot, width, found):
    """By hand: the place is up to 760 CSS pixels wide, and 1280 serves it at a density of 1.7."""
    small = good(lot).resize((width, width * 3 // 4))
    small.save(photos_folder(lot) / "front.jpg", quality=92)
    assert told(lot, "front.jpg", *GOOD[:3]) == found


def a_defect(*marks: dict[str, float] | None, kind: str = "dent") -> dict[str, Any]:
    """Return `defects` with one defect, and one photo for each mark."""
    files = ("door-dent.jpg", "side-right.jpg", "wheel-left-front.jpg")
    photos = [
        {"file": file, "shows": "A dent in the door.", **({"mark": mark} if mark else {})}
        for file, mark in zip(files, marks, strict=False)
    ]
    where = {"station": "right side", "part": "door"}
    defect = {"id": "dent", "kind": kind, "where": where, "affects": "looks", "words": "A dent.", "photos": photos}
    return {"defects": [defect]}


NEAR = {"x": 0.5, "y": 0.5, "r": 0.1}
FAR = {"x": 0.5, "y": 0.5, "r": 0.02}
FAR_BOX = {"x": 0.5, "y": 0.5, "w": 0.03, "h": 0.02}


@pytest.mark.parametrize(
    ("marks", "found"),
    [
        ((), ["a defect without a photo"]),
        ((NEAR,), ["a defect without a context photo"]),
        ((None,), ["a defect without a context photo"]),
        ((FAR,), ["a defect without a close-up"]),
        ((FAR_BOX,), ["a defect without a close-up"]),
        ((FAR, FAR_BOX), ["a defect without a close-up"]),
        ((NEAR, FAR), []),
        ((None, FAR), []),
    ],
)
def test_a_defect_needs_a_close_up_and_a_context_photo(lot, marks, found):
    """A mark that takes a good part of the photo means a close-up; a small one, a photo that shows where."""
    warnings = told(lot, *GOOD[:1], **a_defect(*marks))
    assert warnings == [("inspection.yaml", words) for words in found]


@pytest.mark.parametrize(
    ("far", "size", "found"),
    [
        (0.45, None, []),
        (0.45, "10 cm", []),
        (0.45, "12 cm", [("defects[1].size", "12 cm", "94 to 106 mm, by the card in door-dent.jpg")]),
        (
            0.05,
            "10 cm",
            [
                (
                    "defects[1].photos[1].card",
                    "a card too far from what is measured",
                    "both ends within 3 card lengths of the card's center",
                )
            ],
        ),
    ],
)
def test_a_card_without_a_size_or_with_another_size_is_reported(lot, far, size, found):
    """A card seen straight on, 200 pixels of 1,600 to its 85.60 mm: the span of 234 pixels is 100 mm long."""
    defects = a_defect(NEAR, FAR)["defects"]
    corners = ((0.5, 0.5), (0.625, 0.5), (0.625, 0.60511), (0.5, 0.60511))
    span = ((far, 0.45), (far + 0.14603, 0.45))
    defects[0]["photos"][0] |= {
        key: [{"x": x, "y": y} for x, y in places] for key, places in (("card", corners), ("span", span))
    }
    defects[0] |= {"size": size} if size else {}
    warnings = warnings_of(store_of(lot, {**naming(*GOOD[:1]), "defects": defects}))
    assert [(warning.where, warning.found, warning.expected) for warning in warnings] == found


def test_a_noise_needs_no_photo(lot):
    assert told(lot, *GOOD[:1], **a_defect(kind="noise")) == []


@pytest.mark.parametrize(
    ("words", "says_something"),
    [
        ("IMG_2041", False),
        ("DSC00017.JPG", False),
        ("photo", False),
        ("Photo 1 of the car", False),
        ("20261004_091530", False),
        ("right-rear", False),
        ("Right rear", False),
        ("imagen de la foto", False),
        ("Rust along the lip of the right rear wheel arch.", True),
        ("The odometer shows 68412.", True),
        ("Óxido en el paso de rueda.", True),
    ],
)
def test_captions_that_describe_and_captions_that_do_not(words, says_something):
    """Camera names and empty words are no text alternative (W3C, WCAG 2.2, failure F30)."""
    assert is_description(words, "right-rear.jpg", photo_limits()) is says_something


def test_empty_captions_are_reported_at_their_place(lot):
    store = store_of(lot, {"photos": [{"file": "odometer.jpg", "shows": "IMG_2041"}]})
    warnings = warnings_of(store)
    expected = "what the photo shows, in a few words"
    mend = "write what somebody would see, such as: Rust along the lip of the wheel arch."
    assert warnings == (
        Problem(
            "vehicles/K900/inspection.yaml",
            0,
            0,
            "photos[1].shows",
            '"IMG_2041", which says little',
            expected,
            mend,
            Severity.WARNING,
        ),
    )
