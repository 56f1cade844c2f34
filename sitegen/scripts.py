"""What a script of a theme takes and gives: the part of JavaScript's module syntax that a theme's scripts use.

Source: ECMA-262, section 16.2 (Modules), of which these forms are known: `import { a, b as c } from './file.mjs'`,
`import name from './file.js'`, `import('./file.mjs')`, `export` before a function, a class or a constant, and
`export { a, b as c }`. Each statement begins its line, or ends a minified file.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

_TAKEN = re.compile(
    r"^import\s+(?:(\w+)\s*,?\s*)?(?:\{([^}]*)\})?\s*from\s+['\"]\./([\w.-]+)['\"];?[ \t]*\n?", re.MULTILINE
)
_GIVEN = re.compile(r"^export\s+(?=(?:async\s+)?(?:function\b\s*\*?|class|const)\s+([\w$]+))", re.MULTILINE)
_LISTED = re.compile(r"(?:^|(?<=[;}]))export\s*\{([^}]*)\}\s*;?", re.MULTILINE)
_BROUGHT = re.compile(r"\bimport\(\s*['\"]\./([\w.-]+)['\"]\s*\)")
_UNKNOWN = re.compile(r"^(?:import|export|await)\b|\bimport\.meta\b|\bimport\((?!\s*['\"]\./)", re.MULTILINE)


@dataclass(frozen=True)
class Script:
    """The text of a script, and what it takes of others and gives to them."""

    text: str

    @cached_property
    def taken(self) -> Mapping[str, Mapping[str, str]]:
        """The files that must be there before, and of each what it gives, to what it is called here."""
        found: dict[str, dict[str, str]] = {}
        for default, names, file in _TAKEN.findall(self.text):
            found.setdefault(file, {}).update({"default": default} if default else {}, **dict(_pairs(names)))
        return found

    @cached_property
    def brought(self) -> frozenset[str]:
        """The files that are loaded only once something needs them."""
        return frozenset(_BROUGHT.findall(self.text))

    @cached_property
    def given(self) -> Mapping[str, str]:
        """What others may take, by the name under which they do, to what it is called here."""
        names = {name: name for name in _GIVEN.findall(self.text)}
        return names | {there: here for listed in _LISTED.findall(self.text) for here, there in _pairs(listed)}

    def plain(self, bringing: Callable[[str], str]) -> str:
        """Return the text as no module any more; for each `import(...)` stands what `bringing` says of its file."""
        text = _LISTED.sub("", _GIVEN.sub("", _TAKEN.sub("", self.text)))
        return _BROUGHT.sub(lambda match: bringing(match[1]), text)

    def without_comments(self) -> Script:
        """Return the script without the lines that are comments; a line within a text in backticks stays."""
        kept, is_text, is_comment = [], False, False
        for line in self.text.splitlines(keepends=True):
            bare = line.strip()
            if not is_text and not is_comment and bare.startswith("//"):
                continue
            if not is_text and (is_comment or bare.startswith("/**")):
                is_comment = not bare.endswith("*/")
                continue
            is_text ^= line.count("`") % 2 == 1
            kept.append(line)
        return Script("".join(kept))

    def unknown(self) -> Iterator[tuple[str, int]]:
        """Yield each line with a form that is not among those above, and where in the text it stands."""
        known = {match.start() for form in (_TAKEN, _GIVEN, _LISTED) for match in form.finditer(self.text)}
        for match in _UNKNOWN.finditer(self.text):
            if match.start() not in known:
                yield self.text[match.start() :].partition("\n")[0], match.start()


def _pairs(names: str) -> Iterator[tuple[str, str]]:
    """Yield what each of `a, b as c` is called on either side of the `as`."""
    for each in filter(None, map(str.strip, names.split(","))):
        here, _, there = each.partition(" as ")
        yield here.strip(), (there or here).strip()


def name_on_site(name: str) -> str:
    """Return the name under which a theme's script is published, which ends in `.js`.

    In a theme `.mjs` tells Node and editors that a script is a module; hosts as they are installed send it as bytes
    of no kind, and browsers refuse it. Source: WHATWG HTML, scripts need a JavaScript MIME type.
    """
    return f"{name.removesuffix('.mjs')}.js" if name.endswith(".mjs") else name
