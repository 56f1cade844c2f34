"""Serialize the data that a page holds for its scripts."""

from __future__ import annotations

import json

from markupsafe import Markup


def script_json(data: object) -> Markup:
    """Return data as JSON that is safe inside a script element: `<` is escaped, so nothing can close the element.

    Source: WHATWG HTML, restrictions for contents of script elements.
    """
    return Markup(json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c"))
