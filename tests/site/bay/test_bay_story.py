"""A whole vehicle through the bay page, in Spanish, with one hand on a phone; and out again as a page of the site.

What is entered is held against what the command and the built page say of it: the same figures, marks and covers.
"""

from __future__ import annotations

import json
import zipfile
from typing import Any

import pytest
import yaml
from playwright.sync_api import Page, expect

from tests.conftest import REPOSITORY, run_sitegen, serve
from tests.site.bay.hand import Hand

PHOTOS = REPOSITORY / "demo_site" / "vehicles" / "K101" / "photos"
PHONE: dict[str, Any] = {"has_touch": True, "is_mobile": True, "accept_downloads": True}
MOST_TAPS = 150
WHEELS = tuple(
    f"{where}: llanta y freno"
    for where in ("Delantera izquierda", "Trasera izquierda", "Trasera derecha", "Delantera derecha")
)
DEPTHS = {
    "left_front": ("7", "7", "6"),
    "left_rear": ("7", "7", "7"),
    "right_rear": ("7", "8", "7"),
    "right_front": ("6", "7", "7"),
}
LININGS = {"left_front": ("7", "8"), "left_rear": ("6", "6"), "right_rear": ("6", "7"), "right_front": ("7", "7")}
DEFECTS = (
    ("front", "stone chips", "cofre", "0.35", "Seis golpes de piedra.", "chips-hood.jpg", (0.5, 0.47)),
    (
        "left side",
        "scratch",
        "puerta trasera izquierda",
        "4.7",
        "Un rayón leve.",
        "scratch-door-card.jpg",
        (0.5, 0.5),
    ),
    ("wheels", "curb rash", "rin delantero derecho", "5.5", "Raspado.", "curb-rash-close.jpg", (0.48, 0.41)),
)
FAR = ("front-three-quarter-left.jpg", "side-left.jpg", "wheel-right-front.jpg")
PLATE = (0.30, 0.60, 0.20, 0.10)


def enter_vehicle(page: Page, hand: Hand) -> None:
    hand.tap(page.get_by_role("button", name="Vehículo nuevo"))
    hand.write("Número de inventario", "K110")
    hand.write("VIN", "00ZNC5HA8JF410173")
    expect(page.locator("#vin-told")).to_contain_text("noveno lugar")
    hand.write("VIN", "00ZNC5HA8JF410137")
    expect(page.locator("#vin-told")).to_have_text("El dígito de control es correcto.")
    expect(page.get_by_label("Año modelo")).to_have_value("2018")
    hand.write("Marca", "Norrin")
    hand.write("Modelo", "Calla")
    for label, value in (
        ("Carrocería", "hatchback"),
        ("Tracción", "fwd"),
        ("Combustible", "gasoline"),
        ("Condiciones de venta", "as is"),
    ):
        hand.pick(label, value)
    hand.next("Odómetro y papeles")
    hand.write("Lectura del odómetro, mi", "68412")
    page.get_by_label("Leído el").fill("2026-11-20")
    hand.option("Título de propiedad", "none")


def enter_wheels(page: Page, hand: Hand) -> None:
    for place, (key, heading) in enumerate(zip(DEPTHS, WHEELS, strict=True)):
        hand.next(heading)
        outer = page.get_by_role("group", name="Dibujo, borde exterior, en treintaidosavos de pulgada", exact=True)
        expect(outer.get_by_role("radio", name="Sin medir")).to_be_checked()
        if place == 0:
            hand.write("Medida, del costado", "205/55R16 91V")
        else:
            hand.tap(page.get_by_role("button", name="205/55R16 91V, como la primera"))
        hand.write("Código de fecha, cuatro dígitos", "2423")
        for side, depth in zip(("borde exterior", "centro", "borde interior"), DEPTHS[key], strict=True):
            hand.option(f"Dibujo, {side}, en treintaidosavos de pulgada", f"{depth}/32 in")
        hand.option("Tipo de freno", "disc")
        for side, lining in zip(("interior", "exterior"), LININGS[key], strict=True):
            hand.option(f"Pastilla {side}, en milímetros", f"{lining} mm")


def enter_checks(page: Page, hand: Hand) -> None:
    """Every point good, but for one that needs attention. None is good before somebody said so."""
    while True:
        heading = page.get_by_role("heading", level=2)
        before = heading.inner_text()
        hand.tap(page.get_by_role("button", name="Siguiente", exact=True))
        expect(heading).not_to_have_text(before)
        if heading.inner_text() == "Lo que está mal":
            return
        groups = page.locator("fieldset.bay-finding")
        for place in range(groups.count()):
            expect(groups.nth(place).locator('input[value=""]')).to_be_checked()
            is_keys = groups.nth(place).locator('input[name="keys"]').count() > 0
            hand.option(groups.nth(place), "attention" if is_keys else "good")
            if is_keys:
                hand.write(page.locator("#keys-note"), "Una sola llave.")


def enter_defects(page: Page, hand: Hand) -> None:
    for number, (station, kind, part, size, words, photo, spot) in enumerate(DEFECTS, start=1):
        hand.tap(page.get_by_role("button", name="Agregar un defecto"))
        card = page.get_by_role("region", name=f"Defecto {number}", exact=True)
        hand.option(card.get_by_role("group", name="¿Dónde está? Toque el dibujo"), station)
        if station == "wheels":
            hand.option(card.get_by_role("group", name="Cuál rueda"), "right front")
        hand.write(card.get_by_label("Qué parte, en sus palabras"), part)
        hand.pick(card.get_by_label("Qué tipo"), kind)
        hand.option(card.get_by_role("group", name="Qué afecta"), "looks")
        hand.write(card.get_by_label("Tamaño, pulgadas"), size)
        hand.write(card.get_by_label("Lo que ve, en sus palabras"), words)
        close = card.get_by_role("region", name="Foto de cerca")
        hand.photo(close, PHOTOS / photo)
        hand.mark(close, *spot)
        far = card.get_by_role("region", name="Foto que muestra dónde está")
        hand.photo(far, PHOTOS / FAR[number - 1])
        hand.mark(far, 0.4, 0.5)
        if number == 1:
            hand.cover(far, PLATE)
        hand.is_kept()


def test_a_vehicle_goes_through_the_bay_page_and_comes_out_as_a_page(store, open_page, tmp_path):
    with serve(store / "desk" / "bay") as address:
        page = open_page(f"{address}/es.html", 390, 844, **PHONE)
        context = page.context
        hand = Hand(page)
        enter_vehicle(page, hand)
        before = hand.taps
        enter_wheels(page, hand)
        hand.is_kept()
        page.close()  # the tab is killed in the middle of the walk

        page = context.new_page()
        page.goto(f"{address}/es.html")
        hand.page = page
        page.get_by_role("button", name="Abrir: K110 2018 Norrin Calla").tap()
        expect(page.get_by_role("heading", level=2, name=WHEELS[-1])).to_be_visible()
        hand.next("Llanta de repuesto y etiqueta de la puerta")
        hand.next("Batería, líquidos, pintura")
        hand.write("Batería, CCA medidos", "480")
        hand.write("Batería, CCA nominales", "600")
        enter_checks(page, hand)
        enter_defects(page, hand)
        walked = hand.taps - before
        hand.next("Fotos de todo")
        hand.photo(page.get_by_role("region", name="El lado izquierdo del vehículo"), PHOTOS / "side-left.jpg")
        hand.next("Video")
        hand.next("Precio y equipo")
        hand.write("Precio, USD", "9,900")
        hand.option("Cámara de reversa", "has")
        hand.next("Guardar")
        with page.expect_download() as saving:
            hand.tap(page.get_by_role("button", name="Guardar K110.zip"))
        saved = tmp_path / "K110.zip"
        saving.value.save_as(saved)

    print(f"taps: {walked} for wheels, battery, checks and defects; {hand.taps} in all")
    assert walked <= MOST_TAPS
    with zipfile.ZipFile(saved) as archive:
        record = yaml.safe_load(archive.read("inspection.yaml"))
        assert archive.read("photos/stone-chips-1-close.jpg") == (PHOTOS / "chips-hood.jpg").read_bytes()
    held_against_what_was_entered(record)

    assert run_sitegen("intake", store, saved).returncode == 0
    assert run_sitegen("status", store, "K110", "for sale").returncode == 0
    checked, built = run_sitegen("check", store), run_sitegen("build", store)
    assert (checked.returncode, built.returncode) == (0, 0), checked.stderr + built.stderr
    shown = open_page((store / "published" / "es" / "vehicles" / "K110" / "index.html").as_uri(), 390, 844)
    expect(shown.get_by_text("7/32 in").first).to_be_attached()
    told = json.loads((store / "published" / "vehicles" / "K110" / "record.json").read_text("utf-8"))
    text = json.dumps(told, ensure_ascii=False)
    assert all(f'"{depth}/32 in"' in text for depths in DEPTHS.values() for depth in depths)
    assert all(words in text for *_, words, _, _ in DEFECTS)
    expect(shown.locator("article.defect")).to_have_count(3)
    expect(shown.locator("article.defect svg.mark")).to_have_count(6)


def held_against_what_was_entered(record: dict[str, Any]) -> None:
    for key, depths in DEPTHS.items():
        tread = record["tires"][key]["tread"]
        assert tuple(tread[side] for side in ("outer", "center", "inner")) == tuple(f"{one}/32 in" for one in depths)
        pads = record["brakes"][key]["pads"]
        assert (pads["inner"], pads["outer"]) == tuple(f"{one} mm" for one in LININGS[key])
    assert record["price"] == 9900
    assert record["equipment"] == {"has": [{"en": "Backup camera", "es": "Cámara de reversa"}]}
    assert record["battery"] == {"tested": "480 CCA", "rated": "600 CCA", "tested_on": "2026-11-20"}
    assert record["checks"]["keys"] == {"finding": "attention", "note": {"es": "Una sola llave."}}
    assert set(map(str, record["checks"].values())) - {"good", str(record["checks"]["keys"])} == set()
    for defect, (_, kind, part, size, words, _, spot) in zip(record["defects"], DEFECTS, strict=True):
        assert (defect["kind"], defect["size"], defect["words"]) == (kind, f"{size} in", {"es": words})
        assert defect["where"]["part"] == {"es": part}
        close = defect["photos"][0]
        assert (close["mark"]["x"], close["mark"]["y"]) == pytest.approx(spot, abs=0.01)
    (cover,) = record["defects"][0]["photos"][1]["cover"]
    assert [cover[side] for side in "xywh"] == pytest.approx(PLATE, abs=0.01)
