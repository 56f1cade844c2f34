"""Fallback fonts until the font has loaded: present on each machine, of equal width, with real bold faces."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.site.pages import all_pages

SIZES_OF = """async ([address, text, weight]) => {
  const loaded = await new FontFace("the typeface", `url(${address})`, { weight: "400 800" }).load()
  document.fonts.add(loaded)
  const [, ...standIns] = getComputedStyle(document.documentElement).getPropertyValue("--type").split(",")
  return [`"the typeface"`, standIns.join()].map((family) => {
    const line = document.body.appendChild(document.createElement("span"))
    line.style.cssText = `position: absolute; white-space: nowrap; font: ${weight} 100px/1 ${family}`
    line.append(document.createElement("span"))
    line.firstChild.append(text)
    const { width, height } = line.firstChild.getBoundingClientRect()
    return [width, height]
  })
}"""


MARK_FIRST_OF_EACH_WEIGHT = """() => {
  const first = new Map()
  const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  while (words.nextNode()) {
    const { data, parentElement } = words.currentNode
    if (!/[a-z]/.test(data) || !parentElement.checkVisibility()) continue
    const { fontWeight } = getComputedStyle(parentElement)
    if (!first.has(fontWeight)) first.set(fontWeight, parentElement)
  }
  for (const [weight, element] of first) element.dataset.weight = weight
  return [...first.keys()].map(Number)
}"""


def faces_of(page: Page, selector: str) -> set[str]:
    """Return the PostScript names of the faces whose glyphs the browser has drawn an element's words with."""
    devtools = page.context.new_cdp_session(page)
    for domain in ("DOM", "CSS"):
        devtools.send(f"{domain}.enable")
    root = devtools.send("DOM.getDocument")["root"]["nodeId"]
    node = devtools.send("DOM.querySelector", {"nodeId": root, "selector": selector})["nodeId"]
    drawn = devtools.send("CSS.getPlatformFontsForNode", {"nodeId": node})
    return {face["postScriptName"] for face in drawn["fonts"]}


def test_bold_text_uses_a_bold_fallback_face(open_page, site_address):
    """In each weight that a page uses, the first words to be seen."""
    page = open_page("about:blank", width=390)
    page.route("**/*.woff2", lambda route: route.abort())
    page.goto(f"{site_address}/vehicles/K102/index.html")
    weights = page.evaluate(MARK_FIRST_OF_EACH_WEIGHT)
    assert min(weights) == 400
    assert {600, 680, 700, 780} <= set(weights)
    for weight in weights:
        faces = faces_of(page, f"[data-weight='{weight}']")
        assert faces, weight
        assert all(("Bold" in face) == (weight >= 600) for face in faces), (weight, faces)


@pytest.mark.parametrize("language", ["", "es/"])
@pytest.mark.parametrize("weight", [400, 680])
def test_words_are_as_wide_and_as_high_as_in_the_typeface(open_page, site_address, demo_site_built, language, weight):
    """Within 1.5 % of the width that a page's words have, so that its lines end about where they will."""
    path = f"{language}vehicles/K102/index.html"
    text = " ".join(all_pages(demo_site_built)[path].soup.main.get_text(" ").split())[:4000]
    [file] = demo_site_built.rglob("*.woff2")
    address = f"{site_address}/{file.relative_to(demo_site_built).as_posix()}"
    typeface, stand_in = open_page(f"{site_address}/{path}").evaluate(SIZES_OF, [address, text, weight])
    assert stand_in[0] != typeface[0]
    assert stand_in[0] == pytest.approx(typeface[0], rel=0.015)
    assert stand_in[1] == pytest.approx(typeface[1], abs=1.5)  # pixels of 130: ascent and descent are rounded each
