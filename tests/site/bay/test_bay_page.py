"""The bay page: from a disk, without a network, for every hand and eye; what it keeps, clears, and holds back."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.conftest import REPOSITORY, run_sitegen, serve

AXE = (REPOSITORY / "tests" / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")
PHONE: dict[str, Any] = {"has_touch": True, "is_mobile": True}


def test_the_bay_page_opens_from_a_disk_and_without_a_network_and_axe_finds_nothing(store, open_page):
    folder = store / "desk" / "bay"
    page = open_page((folder / "es.html").as_uri(), 390, 844, **PHONE)
    page.get_by_role("button", name="Vehículo nuevo").tap()
    expect(page.locator("#bay-kept")).to_have_text("Guardado en este aparato")
    page.get_by_label("Carrocería").select_option("hatchback")
    page.get_by_role("button", name="Todos los pasos").tap()
    for step in ("Delantera izquierda: llanta y freno", "Frente", "Lo que está mal", "Fotos de todo", "Guardar"):
        page.get_by_role("button", name=step, exact=True).tap()
        expect(page.get_by_role("heading", level=2)).to_be_visible()
        if step == "Lo que está mal":
            page.get_by_role("button", name="Agregar un defecto").tap()
            expect(page.get_by_role("heading", level=3, name="Defecto 1")).to_be_visible()
        page.evaluate(AXE)
        violations = page.evaluate(
            "axe.run().then(({violations}) => violations.map(({id, nodes}) => [id, nodes[0].html]))"
        )
        assert not violations, step
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, input, select, textarea, a")]
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


def test_clearing_is_asked_for_twice_and_what_holds_is_told_at_once(store, open_page):
    page = open_page((store / "desk" / "bay" / "index.html").as_uri(), 390, 844, **PHONE)
    page.get_by_role("button", name="New vehicle").tap()
    page.get_by_label("Stock number").fill("K111")
    page.get_by_role("button", name="All steps").tap()
    page.get_by_role("button", name="Left front: tire and brake", exact=True).tap()
    page.get_by_role("group", name="Inner tread, in thirty-seconds of an inch").get_by_label(
        "1/32 in", exact=True
    ).tap()
    # 49 CFR 570.9(a): not less than 2/32 in.
    expect(page.get_by_text("Below the inspection figure.")).to_be_visible()
    page.get_by_role("button", name="What is missing").tap()
    expect(page.get_by_role("button", name="Left front: tread below the inspection figure")).to_be_visible()
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
def test_what_is_for_the_shop_is_never_written_into_the_public_site(store, command):
    for place in ("published", "published/bay"):
        refused = run_sitegen(command, store, "--to", store / place)
        assert refused.returncode == 2
        assert "published for everybody" in refused.stderr


# 49 CFR 565.15(c), Tables III to VI, and public worked examples: the same file as the reader's own check.
def test_the_check_digit_agrees_with_the_worked_examples(store, open_page):
    lines = (REPOSITORY / "tests" / "data" / "vin_worked_examples.csv").read_text("utf-8").splitlines()
    examples = [line.split(",") for line in lines if line and line[0] not in "#v"]
    page = open_page((store / "desk" / "bay" / "index.html").as_uri())
    found = page.evaluate("(vins) => vins.map((vin) => bay.vin.checkDigit(vin))", [vin for vin, *_ in examples])
    assert found == [digit for _, _, digit, _ in examples]
