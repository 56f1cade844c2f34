"""Data that a page carries for its scripts."""

from __future__ import annotations

import json

from markupsafe import Markup


def script_json(data: object) -> Markup:
    """Return data as JSON that may stand in a script element: nothing in it can end the element.

    Source: WHATWG HTML, restrictions for contents of script elements: `<` is written as its escape.
    """
    return Markup(json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c"))
