"""A whole vehicle through the bay page, in Spanish, with one hand on a phone; and out again as a page of the site.

What is entered is held against what the command and the built page say of it: the same figures, marks and covers.
"""

from __future__ import annotations

import json
import re
import zipfile
from typing import Any

import pytest
import yaml
from playwright.sync_api import Page, expect

from tests.conftest import REPOSITORY, run_sitegen, serve
from tests.site.bay.hand import Hand

PHOTOS = REPOSITORY / "demo_site" / "vehicles" / "K101" / "photos"
PHONE: dict[str, Any] = {"has_touch": True, "is_mobile": True, "accept_downloads": True}
MOST_TAPS, MOST_WORDS, MOST_TAPS_OF_A_SECOND_LOOK = 160, 60, 25
DAY = "2026-11-20T10:00"
INCHES = "en treintaidosavos de pulgada"
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
    ("rear", "scuff", "parachoques trasero", "2.5", "Leve.", "chips-hood.jpg", (0.3, 0.4)),
)
FAR = ("front-three-quarter-left.jpg", "side-left.jpg", "wheel-right-front.jpg", "side-left.jpg")
PLATE = (0.30, 0.60, 0.20, 0.10)


def enter_vehicle(page: Page, hand: Hand) -> None:
    hand.tap(page.get_by_role("button", name="Vehículo nuevo"))
    hand.write("Número de inventario", "K110")
    page.get_by_label("VIN", exact=True).fill("00ZNC5HA8JF410173")  # misread, and at once told so
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
        hand.option(label, value)
    hand.next("Hoy: odómetro, quién")
    hand.write("Lectura del odómetro, mi", "68412")
    page.get_by_label("Leído el").fill("2026-11-20")
    hand.write("Quién revisa, como debe decirlo la página", "nuestro técnico")


def enter_wheels(page: Page, hand: Hand) -> None:
    for place, (key, heading) in enumerate(zip(DEPTHS, WHEELS, strict=True)):
        hand.next(heading)
        outer = page.get_by_role("group", name=f"Dibujo, borde exterior, {INCHES}", exact=True)
        expect(outer.get_by_role("radio", name="Sin medir")).to_be_checked()
        if place == 0:
            hand.write("Medida, del costado", "205/55R16 91V")
            hand.write("Código de fecha, cuatro dígitos", "2423")
        else:
            hand.tap(page.get_by_role("button", name="La misma llanta que antes: 205/55R16 91V"))
        usual = max(DEPTHS[key], key=DEPTHS[key].count)
        hand.option(f"Dibujo en los tres lugares, {INCHES}", f"{usual}/32 in")
        for side, depth in zip(("borde exterior", "centro", "borde interior"), DEPTHS[key], strict=True):
            if depth != usual:
                hand.option(f"Dibujo, {side}, {INCHES}", f"{depth}/32 in")
        if place in (0, 1):
            hand.option("Tipo de freno", "disc")
            hand.option("Cifra de desecho marcada en él", "not marked")
        else:
            hand.tap(page.get_by_role("button", name="El mismo freno que del otro lado"))
        inner, outer_pad = LININGS[key]
        if inner == outer_pad:
            hand.option("Las dos pastillas, en milímetros", f"{inner} mm")
        else:
            for side, lining in zip(("interior", "exterior"), LININGS[key], strict=True):
                hand.option(f"Pastilla {side}, en milímetros", f"{lining} mm")
        hand.write("Disco en lo más delgado, mm", "24.1")


def enter_what_the_outlook_needs(page: Page, hand: Hand) -> None:
    """A few taps: how deep when new and since when, the gearbox, what drives the valves."""
    hand.next("De nuevo y al ponerlo")
    hand.option("Transmisión", "automatic")
    hand.option("El árbol de levas va con", "chain")
    tires = page.get_by_role("region", name="Todas las llantas: de nuevas y al ponerlas")
    hand.option(tires.get_by_role("group", name="Grosor de nuevas"), "10/32 in")
    hand.write(tires.get_by_label("Odómetro al ponerlas, mi"), "44,400")
    for axle in ("delantero", "trasero"):
        brakes = page.get_by_role("region", name=re.compile(f"^Frenos, .*{axle}"))
        hand.option(brakes.get_by_role("group", name="Grosor de nuevas"), "11 mm")
        hand.tap(brakes.get_by_role("button", name="Vinieron con el vehículo"))


def enter_checks(page: Page, hand: Hand) -> None:
    """One tap a station: the others are good. One point needs attention. None is good before somebody said so."""
    hand.next("Frente")
    while True:
        heading = page.get_by_role("heading", level=2)
        before = heading.inner_text()
        if before == "Lo que está mal":
            return
        groups = page.locator("fieldset.bay-finding")
        for place in range(groups.count()):
            expect(groups.nth(place).locator('input[value=""]')).to_be_checked()
        keys = page.get_by_role("group", name="llaves", exact=True)
        if keys.count():
            hand.option(keys, "attention")
            hand.write(page.locator("#keys-note"), "Una sola llave.")
        hand.tap(page.get_by_role("button", name=re.compile("^Miré: los otros ")))
        expect(heading).not_to_have_text(before)


def enter_defects(page: Page, hand: Hand) -> None:
    for number, (station, kind, part, size, words, photo, spot) in enumerate(DEFECTS, start=1):
        hand.tap(page.get_by_role("button", name="Agregar un defecto"))
        card = page.get_by_role("region", name=f"Defecto {number}", exact=True)
        hand.option(card.get_by_role("group", name="¿Dónde está? Toque el dibujo"), station)
        if station == "wheels":
            hand.option(card.get_by_role("group", name="Cuál rueda"), "right front")
        hand.write(card.get_by_label("Qué parte, en sus palabras"), part)
        hand.option(card.get_by_role("group", name="Qué tipo"), kind)
        expect(card.get_by_role("group", name="Qué afecta").locator('input[value="looks"]')).to_be_checked()
        hand.write(card.get_by_label("Tamaño, pulgadas"), size)
        hand.write(card.get_by_label("Lo que ve, en sus palabras"), words)
        close = card.get_by_role("region", name="Foto de cerca")
        hand.photos(close, [PHOTOS / photo, PHOTOS / FAR[number - 1]])
        hand.mark(close, *spot)
        far = card.get_by_role("region", name="Foto que muestra dónde está")
        hand.mark(far, 0.4, 0.5)
        if number == 1:
            hand.cover(far, PLATE)
        hand.option(card.get_by_role("group", name="Qué se hizo"), "left")
        hand.is_kept()


def enter_the_rest(page: Page, hand: Hand) -> None:
    hand.next("Fotos de todo")
    hand.photos(page.get_by_role("region", name="El lado izquierdo del vehículo"), [PHOTOS / "side-left.jpg"])
    hand.next("Video")
    hand.next("Papeles")
    hand.option("Lo que dicen los papeles del millaje", "actual")
    hand.option("Título de propiedad", "none")
    hand.option("Llamados a revisión pendientes", "none")
    hand.next("Servicios en facturas")
    bill = page.get_by_role("region", name="Factura o etiqueta 1")
    hand.write(bill.get_by_label("Odómetro que dice, mi"), "64,100")
    hand.write(bill.get_by_label("Su día o mes (2026-05)"), "2026-05")
    services = bill.get_by_role("checkbox")
    for place in range(services.count()):
        hand.tap(services.nth(place))
    hand.next("Trabajos y promesas")
    hand.option("Prometido antes de la entrega", "none")
    hand.option("Trabajos que hizo el taller", "none")
    hand.next("Precio y equipo")
    hand.write("Precio, USD", "9,900")
    hand.option("Cámara de reversa", "has")
    hand.option("Piezas que puso un dueño anterior", "none")
    hand.next("Guardar")


def test_a_whole_vehicle_goes_through_the_bay_page_and_comes_out_as_a_page_with_a_figure(store, open_page, tmp_path):
    with serve(store / "desk" / "bay") as address:
        page = open_page(f"{address}/es.html", 390, 844, **PHONE)
        context = page.context
        context.clock.set_fixed_time(DAY)
        hand = Hand(page)
        enter_vehicle(page, hand)
        enter_wheels(page, hand)
        hand.is_kept()
        page.close()  # the tab is killed in the middle of the walk

        page = context.new_page()
        page.goto(f"{address}/es.html")
        hand.page = page
        page.get_by_role("button", name="Abrir: K110 2018 Norrin Calla").tap()
        expect(page.get_by_role("heading", level=2, name=WHEELS[-1])).to_be_visible()
        hand.next("Llanta de repuesto y etiqueta de la puerta")
        hand.tap(page.get_by_role("button", name="205/55R16 91V, como en la rueda"))
        hand.next("Batería, líquidos, pintura")
        for label, figure in (
            ("Batería, CCA medidos", "480"),
            ("Batería, CCA nominales", "600"),
            ("Agua en el líquido de frenos, %", "1.5"),
            ("El refrigerante se congela a, °F", "-34"),
        ):
            hand.write(label, figure)
        enter_what_the_outlook_needs(page, hand)
        enter_checks(page, hand)
        enter_defects(page, hand)
        enter_the_rest(page, hand)
        with page.expect_download() as saving:
            hand.tap(page.get_by_role("button", name="Guardar K110.zip"))
        saved = tmp_path / "K110.zip"
        saving.value.save_as(saved)
        hand.is_kept()

    print(f"taps: {hand.taps}, words: {hand.words}")
    assert hand.taps <= MOST_TAPS
    assert hand.words <= MOST_WORDS
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
    expect(shown.locator("article.defect")).to_have_count(len(DEFECTS))
    expect(shown.locator("article.defect svg.mark")).to_have_count(2 * len(DEFECTS))


def test_a_second_look_at_one_wheel_and_a_repair_come_in_as_a_visit(store, open_page, tmp_path):
    """The store has K110 from the story before. Nothing that was not touched is written, and Back goes back."""
    assert run_sitegen("bay", store).returncode == 0
    page = open_page((store / "desk" / "bay" / "index.html").as_uri(), 390, 844, **PHONE)
    page.context.clock.set_fixed_time(DAY)
    hand = Hand(page, next_words="Next", gallery="From the gallery")
    hand.tap(page.get_by_role("button", name="K110 2018 Norrin Calla"))
    hand.tap(page.get_by_role("button", name="Today: odometer, who"))
    hand.write("Odometer reading, mi", "68,450")
    hand.next("Left front: tire and brake")
    expect(page.locator("#bay-vehicle")).to_contain_text("K110")
    inner = page.get_by_role("group", name="Inner tread, in thirty-seconds of an inch")
    expect(inner).to_contain_text("Nov 20")
    hand.option(inner, "5/32 in")
    hand.option(page.get_by_role("group", name="Inner pad, in millimeters"), "6 mm")
    hand.tap(page.get_by_role("button", name="All steps"))
    hand.tap(page.get_by_role("button", name="What is wrong"))
    chips = page.get_by_role("region", name="Stone chips, cofre")
    hand.option(chips.get_by_role("group", name="What has become of it"), "put right")
    hand.write(chips.get_by_label("What was done, where, and which bill"), "Touched up the paint.")
    hand.photos(chips.get_by_role("region", name="Photo after the repair"), [PHOTOS / "chips-hood.jpg"])
    page.go_back()
    expect(page.get_by_role("heading", level=2, name="All steps")).to_be_visible()
    page.get_by_role("link", name="Español").tap()
    expect(page.get_by_role("heading", level=2, name="Todos los pasos")).to_be_visible()
    page.get_by_role("link", name="English").tap()
    expect(page.get_by_role("heading", level=2, name="All steps")).to_be_visible()
    hand.tap(page.get_by_role("button", name="Save").last)
    with page.expect_download() as saving:
        hand.tap(page.get_by_role("button", name=re.compile(r"^Save K110-.*\.zip")))
    saved = tmp_path / saving.value.suggested_filename
    saving.value.save_as(saved)
    print(f"taps of a second look and a repair: {hand.taps}")
    assert hand.taps <= MOST_TAPS_OF_A_SECOND_LOOK
    done = run_sitegen("intake", store, saved)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("A visit to K110 is in ")
    checked = run_sitegen("check", store)
    assert checked.returncode == 0, checked.stderr


def held_against_what_was_entered(record: dict[str, Any]) -> None:
    for key, depths in DEPTHS.items():
        tread = record["tires"][key]["tread"]
        assert tuple(tread[side] for side in ("outer", "center", "inner")) == tuple(f"{one}/32 in" for one in depths)
        pads = record["brakes"][key]["pads"]
        assert (pads["inner"], pads["outer"]) == tuple(f"{one} mm" for one in LININGS[key])
    assert record["price"] == 9900
    assert record["equipment"] == {"has": [{"en": "Backup camera", "es": "Cámara de reversa"}]}
    assert record["inspection"]["by"] == {"es": "nuestro técnico"}
    assert {each["service"] for each in record["services"]} >= {"engine_oil", "brake_fluid", "cabin_filter"}
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
