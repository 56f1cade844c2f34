"""Every text in another language within a view is found, so that the page can note it. No outside source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from hypothesis import given
from hypothesis import strategies as st

from sitegen.pages.language.other_languages import languages_in


@dataclass(frozen=True)
class _Told:
    words: str
    language: str | None = None


@dataclass(frozen=True)
class _Part:
    """Has what says nothing, and what may: by itself, in a union, in tuples, in a mapping, or as anything."""

    plain: str
    number: int | None
    named: tuple[str, ...]
    one: _Told | None = None
    several: tuple[_Told, ...] = ()
    pairs: tuple[tuple[str, _Told], ...] = ()
    by_name: Mapping[str, _Told] = field(default_factory=dict)
    anything: object = None


@given(told=st.lists(st.tuples(st.sampled_from(range(5)), st.sampled_from(["es", "vi", "zh-Hant", None]))))
def test_every_language_in_a_view_is_found(told: list[tuple[int, str | None]]):
    parts = []
    for place, language in told:
        one = _Told("palabras", language)
        put = (
            {"one": one},
            {"several": (one,)},
            {"pairs": (("a", one),)},
            {"by_name": {"a": one}},
            {"anything": [one]},
        )
        parts.append(replace(_Part("language", 1, ("language",)), **put[place]))
    assert languages_in({"page": tuple(parts)}) == tuple(sorted({language for _, language in told if language}))
