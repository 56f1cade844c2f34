"""What a finger can hit, what eyes read after what, and what moves.

Sources, all WCAG 2.2: 2.5.8 Target Size (Minimum), 1.3.2 Meaningful Sequence, 2.4.3 Focus Order, 2.3.3 Animation from
Interactions.
"""

from __future__ import annotations

import pytest

from tests.site.pages import EVERY_TYPE

SMALLEST = 24  # CSS pixels

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
  const fixed = (element) => {
    for (let part = element; part; part = part.parentElement)
      if (['sticky', 'fixed'].includes(getComputedStyle(part).position)) return true
  }
  const read = [...document.body.querySelectorAll('*')].filter((element) =>
    !element.ownerSVGElement && !element.closest('.only-heard, .skip, svg, dialog, [popover]') &&
    element.checkVisibility({ visibilityProperty: true }) &&
    !getComputedStyle(element).display.startsWith('inline') && !fixed(element) &&
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


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("path", EVERY_TYPE)
def test_nothing_to_hit_is_smaller_than_24_pixels(open_page, site_address, path, width):
    """Links in a sentence are excepted, as WCAG excepts them."""
    page = open_page(f"{site_address}/{path}", width=width)
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true })")
    assert not page.evaluate(TARGETS, SMALLEST)


@pytest.mark.parametrize("width", [320, 1280])
@pytest.mark.parametrize("path", EVERY_TYPE)
def test_what_is_read_next_stands_below_or_to_the_right(open_page, site_address, path, width):
    """Below, or on the same line to the right, or at the top of a further column."""
    count, misplaced = open_page(f"{site_address}/{path}", width=width).evaluate(MISPLACED)
    assert count > 15
    assert not misplaced


@pytest.mark.parametrize("path", EVERY_TYPE)
def test_with_reduced_motion_nothing_moves_by_itself(open_page, site_address, path):
    page = open_page(f"{site_address}/{path}", reduced_motion="reduce")
    moving = page.evaluate("""[...document.querySelectorAll('*')].filter((element) => {
      const style = getComputedStyle(element)
      const isAnimated = parseFloat(style.transitionDuration) > 0 || style.animationName !== 'none'
      return isAnimated || style.scrollBehavior !== 'auto'
    }).map((element) => element.outerHTML.slice(0, 120))""")
    assert not moving
