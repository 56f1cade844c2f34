"""Simulates one hand on a phone and counts its taps. Typed words do not count; focusing a field is one tap."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Locator, Page, expect


class Hand:
    """Taps on a page and typed words, counted. A figure, a code or a day is no word."""

    def __init__(self, page: Page, next_words: str = "Siguiente", gallery: str = "De la galería") -> None:
        self.page = page
        self.taps = 0
        self.words = 0
        self._next, self._gallery = next_words, gallery

    def tap(self, target: Locator) -> None:
        """Tap a button, or an option of several."""
        target.tap()
        self.taps += 1

    def next(self, heading: str) -> None:
        """Go to the next step, which bears this heading."""
        self.tap(self.page.get_by_role("button", name=self._next, exact=True))
        expect(self.page.get_by_role("heading", level=2, name=heading, exact=True)).to_be_visible()

    def option(self, group: str | Locator, value: str) -> None:
        """Tap one of several in a group, by what the record calls it."""
        within = self.page.get_by_role("group", name=group, exact=True) if isinstance(group, str) else group
        chosen = within.locator(f'input[value="{value}"]')
        self.tap(chosen)
        expect(chosen).to_be_checked()

    def write(self, label: str | Locator, words: str) -> None:
        """Reach a field and type."""
        field = self.page.get_by_label(label, exact=True) if isinstance(label, str) else label
        self.tap(field)
        field.fill(words)
        self.words += sum(not any(sign.isdigit() for sign in word) for word in words.split())

    def pick(self, label: str | Locator, value: str) -> None:
        """Open a list and take one: two taps."""
        field = self.page.get_by_label(label, exact=True) if isinstance(label, str) else label
        field.select_option(value)
        self.taps += 2

    def photos(self, section: Locator, files: list[Path]) -> None:
        """Take photos from the gallery: one tap for the gallery, and one for each photo."""
        section.get_by_label(self._gallery).set_input_files(files)
        self.taps += 1 + len(files)
        expect(section.get_by_role("img")).to_be_visible()

    def mark(self, section: Locator, x: float, y: float) -> None:
        """Tap the photo at a place, as fractions of it."""
        photo = section.get_by_role("img")
        photo.evaluate("(one) => one.scrollIntoView({block: 'center', behavior: 'instant'})")
        bounds = photo.bounding_box()
        assert bounds is not None
        self.page.touchscreen.tap(bounds["x"] + bounds["width"] * x, bounds["y"] + bounds["height"] * y)
        self.taps += 1

    def cover(self, section: Locator, box: tuple[float, float, float, float]) -> None:
        """Begin to cover, drag over the photo from the left top of a box to its right bottom, and end."""
        self.tap(section.get_by_role("button", name="Tapar una placa o una cara"))
        photo = section.get_by_role("img")
        photo.evaluate("(one) => one.scrollIntoView({block: 'center', behavior: 'instant'})")
        bounds = photo.bounding_box()
        assert bounds is not None
        left, top, width, height = box
        start = (bounds["x"] + bounds["width"] * left, bounds["y"] + bounds["height"] * top)
        self.page.mouse.move(*start)
        self.page.mouse.down()
        self.page.mouse.move(start[0] + bounds["width"] * width, start[1] + bounds["height"] * height, steps=4)
        self.page.mouse.up()
        self.taps += 1
        self.tap(section.get_by_role("button", name="Terminar de tapar"))

    def is_kept(self) -> None:
        """Wait until the page says that all is kept on the device."""
        expect(self.page.locator("#bay-kept")).to_have_text("Guardado en este aparato")
