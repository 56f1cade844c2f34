"""The bay page: opened from a disk, without a network, accessible; what it stores, clears, and holds."""

from __future__ import annotations

import re
import shutil
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from sitegen.commands import main
from sitegen.pages.composing import translator_for
from sitegen.pages.vehicle.defects.card_sizes import card_size_words
from sitegen.photos.card.sizing import CardSize, size_by_card
from sitegen.photos.opening.limits import photo_limits
from sitegen.reading.reference.figures import read_figures
from sitegen.shared_data import content_folder
from tests.builders import some_settings
from tests.conftest import REPOSITORY, serve

AXE = (REPOSITORY / "tests" / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")
STEPS = (
    "El vehículo",
    "Hoy: odómetro, quién",
    "Papeles",
    "Delantera izquierda: llanta y freno",
    "Llanta de repuesto y etiqueta de la puerta",
    "Batería, líquidos, pintura",
    "Frente",
    "Lo que está mal",
    "Fotos de todo",
    "Video",
    "De nuevo y al ponerlo",
    "Servicios en facturas",
    "Trabajos y promesas",
    "Precio y equipo",
    "Guardar",
)
DOOR = REPOSITORY / "demo_site" / "vehicles" / "K101" / "photos" / "scratch-door-card.jpg"
# As the demo store's record has them.
PLACES = {
    "1": (0.37088, 0.66192), "2": (0.58337, 0.61133), "3": (0.59219, 0.76143), "4": (0.39131, 0.81339),
    "A": (0.33942, 0.47211), "B": (0.64877, 0.52801),
}  # fmt: skip
PHONE: dict[str, Any] = {"has_touch": True, "is_mobile": True}


def test_the_bay_page_opens_from_a_disk_and_without_a_network_and_axe_finds_nothing(store, open_page):
    folder = store / "desk" / "bay"
    page = open_page((folder / "es.html").as_uri(), 390, 844, **PHONE)
    page.get_by_role("button", name="Vehículo nuevo").tap()
    expect(page.locator("#bay-kept")).to_have_text("Guardado en este aparato")
    page.get_by_role("group", name="Carrocería").locator('input[value="hatchback"]').tap()
    page.get_by_role("button", name="Todos los pasos").tap()
    for step in STEPS:
        page.locator(".bay-steps").get_by_role("button", name=re.compile(f"^{step}")).tap()
        expect(page.get_by_role("heading", level=2)).to_be_visible()
        if step == "Lo que está mal":
            measure_by_a_card(page)
        for fold in page.locator("details:not([open]) summary").all():
            fold.tap()
        page.evaluate(AXE)
        violations = page.evaluate(
            "axe.run({preload: false}).then(({violations}) => violations.map(({id, nodes}) => [id, nodes[0].html]))"
        )
        assert not violations, step
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, input, select, textarea, a, summary")]
              .map((one) => [one.id || one.textContent, one.getBoundingClientRect()])
              .filter(([, {width, height}]) => width < 48 || height < 48).map(([name]) => name)"""
        )
        assert not small, step
        page.get_by_role("button", name="Todos los pasos").tap()

    with serve(folder) as address:
        served = open_page(f"{address}/index.html", 390, 844, **PHONE)
        served.evaluate("navigator.serviceWorker.ready.then(() => true)")
        served.context.set_offline(True)
        served.reload()
        expect(served.get_by_role("button", name="New vehicle")).to_be_visible()


def measure_by_a_card(page: Page) -> None:
    """Drag the marks onto the card of a real photo: the page says what the built page would, once all are placed."""
    page.get_by_role("button", name="Agregar un defecto").tap()
    close = page.get_by_role("region", name="Foto de cerca")
    close.get_by_label("De la galería").set_input_files(DOOR)
    close.get_by_role("button", name="Medirlo con una tarjeta").tap()
    photo, told = close.get_by_role("img"), close.get_by_role("status")
    expect(told).to_have_text("Falta colocar: 1, 2, 3, 4, A, B")
    # Those that begin nearest to each other are moved apart first, so that each drag takes the mark that is meant.
    for name in ("A", "B", "1", "2", "3", "4"):
        drag(page, close.get_by_role("button", name=re.compile(f"^(Esquina|Punta) {name} ")), photo, PLACES[name])
    expect(told).to_contain_text("medido en la foto con una tarjeta al lado")
    expect(page.locator("#bay-kept")).to_have_text("Guardado en este aparato")
    (vehicle,) = page.evaluate("bay.storage.vehicles()")
    entry = vehicle["defects"][0]["close"]
    card, span = ([(place["x"], place["y"]) for place in entry[key]] for key in ("card", "span"))
    assert card == [pytest.approx(PLACES[name], abs=0.005) for name in "1234"]
    found = size_by_card(card, span, 1600, 1200, photo_limits().card)
    assert isinstance(found, CardSize)
    settings = some_settings(languages=["en", "es"])
    translator = translator_for("es", settings, read_figures(content_folder(), settings.region))
    expect(told).to_have_text(card_size_words(found, translator))
    # By keys, a mark moves by a pixel of 1,600.
    end = close.get_by_role("button", name=re.compile("^Punta B "))
    end.press("ArrowLeft")
    end.press("Shift+ArrowDown")
    expect(page.locator("#bay-kept")).to_have_text("Guardado en este aparato")
    (nudged,) = page.evaluate("bay.storage.vehicles()")
    moved = nudged["defects"][0]["close"]["span"][1]
    assert (moved["x"], moved["y"]) == pytest.approx((span[1][0] - 1 / 1600, span[1][1] + 20 / 1200), abs=1e-4)
    drag(page, close.get_by_role("button", name=re.compile("^Esquina 4 ")), photo, (0.8, 0.5))
    expect(told).to_have_text(translator.say("card.crossed"))
    drag(page, close.get_by_role("button", name=re.compile("^Esquina 4 ")), photo, PLACES["4"])
    expect(told).to_contain_text("medido en la foto con una tarjeta al lado")


def drag(page: Page, mark: Locator, photo: Locator, place: tuple[float, float]) -> None:
    """Drag the middle of a mark to a place of the photo."""
    photo.evaluate("(one) => one.scrollIntoView({block: 'center', behavior: 'instant'})")
    start, bounds = mark.bounding_box(), photo.bounding_box()
    assert start is not None
    assert bounds is not None
    page.mouse.move(start["x"] + start["width"] / 2, start["y"] + start["height"] / 2)
    page.mouse.down()
    page.mouse.move(bounds["x"] + bounds["width"] * place[0], bounds["y"] + bounds["height"] * place[1], steps=3)
    page.mouse.up()


def test_clearing_needs_confirmation_and_holds_are_shown_at_once(store, open_page):
    page = open_page((store / "desk" / "bay" / "index.html").as_uri(), 390, 844, **PHONE)
    page.get_by_role("button", name="New vehicle").tap()
    page.get_by_label("Stock number").fill("K111")
    page.get_by_role("button", name="All steps").tap()
    page.get_by_role("button", name="Left front: tire and brake").tap()
    page.get_by_role("group", name="Inner tread, in thirty-seconds of an inch").get_by_label(
        "1/32 in", exact=True
    ).tap()
    # 49 CFR 570.9(a): not less than 2/32 in.
    expect(page.get_by_text("Below the inspection figure.").first).to_be_visible()
    page.get_by_role("button", name="What is missing").tap()
    expect(page.get_by_role("button", name="Left front: tread below the inspection figure")).to_be_visible()
    expect(page.locator("#bay-kept")).to_have_text("Kept on this device")
    # One tap promises what answers it, in words that can be changed.
    page.get_by_role("button", name="Left front: tread below the inspection figure").tap()
    page.get_by_role("button", name="Promise it: Replace the tire: Left front").tap()
    expect(page.get_by_label("What the store will do before delivery")).to_have_value("Replace the tire: Left front")
    page.get_by_role("button", name="What is missing").tap()
    expect(page.get_by_role("heading", name="What holds the page back")).to_have_count(0)
    expect(page.locator("#bay-kept")).to_have_text("Kept on this device")
    page.reload()
    page.get_by_role("button", name="Clear from this device: K111").tap()
    page.get_by_role("button", name="Yes, clear it").tap()
    expect(page.get_by_text("This cannot be undone.")).to_be_visible()
    expect(page.get_by_role("heading", name="K111")).to_have_count(0)
    page.get_by_role("button", name="Keep it").tap()
    expect(page.get_by_role("heading", name="K111")).to_be_visible()
    page.get_by_role("button", name="Clear from this device: K111").tap()
    page.get_by_role("button", name="Yes, clear it").tap()
    page.get_by_role("button", name="Clear it for good").tap()
    expect(page.get_by_role("heading", name="K111")).to_have_count(0)


@pytest.mark.parametrize("command", ["bay", "sheet"])
def test_staff_pages_are_never_written_into_the_public_site(store, command, capsys):
    for place in ("published", "published/bay"):
        assert main([command, str(store), "--to", str(store / place)]) == 2
        assert "is public, and these pages are for the store's staff only" in capsys.readouterr().err


# 49 CFR 565.15(c), Tables III to VI, and public worked examples: the same file as the reader's own check.
def test_the_check_digit_agrees_with_the_worked_examples(store, open_page):
    lines = (REPOSITORY / "tests" / "data" / "vin_worked_examples.csv").read_text("utf-8").splitlines()
    examples = [line.split(",") for line in lines if line and line[0] not in "#v"]
    page = open_page((store / "desk" / "bay" / "index.html").as_uri())
    found = page.evaluate("(vins) => vins.map((vin) => bay.vin.checkDigit(vin))", [vin for vin, *_ in examples])
    assert found == [digit for _, _, digit, _ in examples]


def test_a_label_without_a_message_shows_its_key_and_is_not_empty(store, open_page, tmp_path):
    shutil.copytree(store / "desk/bay", tmp_path / "bay")
    file = tmp_path / "bay/index.html"
    text = file.read_text("utf-8")
    file.write_text(re.sub(r'"new_vehicle":"[^"]*",', "", text), "utf-8")
    assert file.read_text("utf-8") != text
    page = open_page(file.as_uri())
    page.get_by_role("button", name="bay.new_vehicle").wait_for()
