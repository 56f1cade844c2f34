"""Explain YAML syntax errors in plain words: the place, what was found, and how to correct it."""

from __future__ import annotations

import re

import yaml

from sitegen.records.problems import Problem

_SHORTEST_CUT = 40
_QUOTE = "put the value in quotes"
_OPENERS = {"flow mapping": ("{", "}"), "flow sequence": ("[", "]")}


def parser_problem(fault: yaml.MarkedYAMLError, text: str, file: str) -> Problem:
    """Return the problem for an error raised by the YAML parser."""
    lines = re.split("\r\n|\r|\n", text)
    mark, opened = fault.problem_mark, fault.context_mark
    quote = _quote_over_lines(text, mark.index) if mark is not None else None
    if quote is not None:
        opening = quote.start_mark
        found = f"a quote that opens here and closes only on line {quote.end_mark.line + 1}"
        mend = f"add {text[opening.index]} at the end of line {opening.line + 1}"
        return Problem(file, opening.line + 1, opening.column + 1, "", found, "a quote at both ends", mend)
    at = opened if opened is not None and _is_about_opening(fault) else mark or opened
    line = min(at.line, len(lines) - 1) if at is not None else 0
    here = lines[line]
    column = min(at.column, len(here)) if at is not None and line == at.line else len(here)
    if _is_too_far_in(fault, here[:column]):
        column = len(here) - len(here.lstrip())
    found, expected, mend = _words(fault, here, column)
    return Problem(file, line + 1, column + 1, "", found, expected, mend)


def _is_about_opening(fault: yaml.MarkedYAMLError) -> bool:
    """Return whether the start of the construct is a better place for the problem than where the parser stopped."""
    context = fault.context or ""
    unclosed_quote = "quoted scalar" in context and "end of" in (fault.problem or "")
    return unclosed_quote or "flow" in context or "simple key" in context


def _quote_over_lines(text: str, until: int) -> yaml.ScalarToken | None:
    """Return the last quoted text before the error if it spans lines, else None.

    Its closing quote is probably missing.
    """
    last: yaml.Token | None = None
    try:
        for token in yaml.scan(text, Loader=yaml.SafeLoader):
            if token.start_mark.index >= until:
                break
            last = token
    except yaml.YAMLError:
        pass
    if not isinstance(last, yaml.ScalarToken) or last.style not in ("'", '"'):
        return None
    return last if last.end_mark.line > last.start_mark.line else None


def _is_too_far_in(fault: yaml.MarkedYAMLError, before: str) -> bool:
    """Return whether the error is caused by indentation, and not by a second colon on the line."""
    return "mapping values are not allowed" in (fault.problem or "") and ": " not in before


def _words(fault: yaml.MarkedYAMLError, line: str, column: int) -> tuple[str, str, str]:
    """Return what was found, what was expected, and how to correct it."""
    context, problem = fault.context or "", fault.problem or ""
    before, rest = line[:column], line[column:]
    if "\t" in line[: len(line) - len(line.lstrip())]:
        return "a tab", "spaces at the beginning of a line", "put two spaces in place of each tab"
    if "cannot start any token" in problem:
        return f"{rest[:1]} at the beginning of a value", "a value that begins with a letter or figure", _QUOTE
    if _is_too_far_in(fault, before):
        expected = "a key that begins in the same column as the others of its group"
        mend = "check the indentation, and that the line above ends in a colon if this one belongs under it"
        return f"a line that is too far in: {_cut(line)}", expected, mend
    if "mapping values are not allowed" in problem:
        return f"a second colon: {_cut(line)}", "one key and one value on a line", _QUOTE
    if "quoted scalar" in context and "unknown escape" in problem:
        mend = "put the text in single quotes, or write each backslash twice"
        return "a backslash in double quotes", "a text without one", mend
    if "quoted scalar" in context:
        return (
            f"a quote that is not closed: {_cut(rest)}",
            "a quote at both ends",
            f"add {rest[:1] or 'it'} at the end",
        )
    for name, (opening, closing) in _OPENERS.items():
        if name in context:
            mend = f"add {closing}, or check the commas and quotes between"
            return f"{opening} without its {closing}: {_cut(rest)}", f"{opening} and {closing} in pairs", mend
    if "simple key" in context:
        return f"a line without a colon: {_cut(rest)}", "a key, a colon, a space and a value", "add what is missing"
    if "block" in context and before.strip():
        return f"more after the end of a value: {_cut(rest)}", "one value", "put quotes round the whole of it"
    if "block" in context:
        expected = "a line that begins in the same column as the others of its group"
        return f"a line that fits no group: {_cut(line)}", expected, "check the indentation, and the quotes above"
    if not rest.strip():
        return "the end of a line too early", "a key, a colon, a space and a value", "add what is missing"
    return f"what cannot be read: {_cut(rest)}", "a key, a colon, a space and a value", _QUOTE


def _cut(text: str) -> str:
    text = text.strip()
    return text if len(text) <= _SHORTEST_CUT else f"{text[:_SHORTEST_CUT].rstrip()}..."
