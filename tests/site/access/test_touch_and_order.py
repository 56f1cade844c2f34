"""Sizes of targets, reading order, and motion."""

from __future__ import annotations

import pytest

from tests.site.pages import EVERY_TYPE, wait_until_whole

SMALLEST = 24  # CSS pixels

# What is folded is opened, and what is laid out only once it comes near has its true place.
UNFOLDED = """() => {
  for (const folded of document.querySelectorAll('details')) folded.open = true
  for (const card of document.querySelectorAll('.vehicle-card')) card.style.contentVisibility = 'visible'
}"""

TARGETS = """smallest => [...document.querySelectorAll('a[href], button, input, select, summary, [tabindex="0"]')]
  .map((control) => control.closest('label') ?? control)
  .filter((target) => target.checkVisibility({ visibilityProperty: true }) && !target.closest('.only-heard'))
  .filter((target) => ['width', 'height'].some((side) => target.getBoundingClientRect()[side] < smallest))
  .filter((target) => {  // a link in a sentence is as high as its line
    const around = target.closest('p, li, dd, td')
    return !(target.matches('a') && around && around.innerText.trim() !== target.innerText.trim())
  })
  .map((target) => [target.outerHTML.slice(0, 120), target.getBoundingClientRect().toJSON()])"""

MISPLACED = """() => {
  const read = [...document.body.querySelectorAll('*')].filter((element) =>
    !element.ownerSVGElement && !element.closest('.only-heard, .skip, svg, dialog, [popover], .contents') &&
    element.checkVisibility({ visibilityProperty: true }) &&
    !getComputedStyle(element).display.startsWith('inline') &&
    [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim()))
  const faults = []
  read.slice(1).forEach((later, place) => {
    const [a, b] = [read[place].getBoundingClientRect(), later.getBoundingClientRect()]
    const isAbove = b.bottom <= a.top + 1 && b.left < a.right - 1
    const isBefore = b.top < a.bottom - 1 && b.bottom > a.top + 1 && b.right <= a.left + 1
    if (isAbove || isBefore) faults.push([read[place].innerText.slice(0, 60), later.innerText.slice(0, 60)])
  })
  return [read.length, faults]
}"""

MOVING = """() => [...document.querySelectorAll('*')].flatMap((element) =>
  ['', '::before', '::after', '::backdrop'].map((part) => [element, part, getComputedStyle(element, part)]))
  .filter(([, , style]) => style.display !== '')  // what is never drawn, such as the source of a video, has no style
  .filter(([, , style]) => parseFloat(style.transitionDuration) > 0 || style.animationName !== 'none' ||
    style.scrollBehavior !== 'auto')
  .map(([element, part]) => element.localName + part)"""


@pytest.mark.parametrize("path", EVERY_TYPE)
def test_targets_are_large_reading_order_is_logical_and_nothing_moves(open_page, site_address, path):
    """On a phone and on a desk: links in a sentence may be smaller, as WCAG excepts them.

    What is read next stands below, or on the same line to the right, or at the top of a further column. What opens
    over the page, such as a phone's list of contents, is left aside.
    """
    page = open_page(f"{site_address}/{path}", reduced_motion="reduce")
    wait_until_whole(page)
    assert not page.evaluate(MOVING)
    page.evaluate(UNFOLDED)
    for width in (320, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        assert not page.evaluate(TARGETS, SMALLEST), width
        count, misplaced = page.evaluate(MISPLACED)
        assert count > 15
        assert not misplaced, width


def test_without_reduced_motion_scrolling_is_smooth(open_page, site_address):
    """So the search for what moves finds what does."""
    page = open_page(f"{site_address}/index.html", reduced_motion="no-preference")
    assert "html" in page.evaluate(MOVING)
