"""The bench that deletes cases finds every kind of case, and deletes nothing else."""

from __future__ import annotations

import ast

from tests.bench.deletions import deletions

MODULE = '''\
HOLDS = (first, second)
"""All holds."""
BY_KEY = {"a": 1, "b": 2}


def cases(self, one, other):
    if one and other:
        yield "ä"
    elif other:
        self._record("day")
    else:
        yield from [
            each for each in one if each
        ]
    return (*one, other)
'''

DELETED = {
    ("member", 1, "first"), ("member", 1, "second"), ("member", 3, '"a": 1'), ("member", 3, '"b": 2'),
    ("branch", 7, "one and other"), ("operand", 7, "one"), ("operand", 7, "other"), ("yield", 8, 'yield "ä"'),
    ("branch", 9, "other"), ("read", 10, 'self._record("day")'),
    *{(kind, 12, "yield from [\n            each for each in one if each\n        ]") for kind in ("else", "yield")},
    ("operand", 13, "each"), ("member", 15, "*one"), ("member", 15, "other"),
}  # fmt: skip


def test_each_kind_of_case_is_deleted_once_and_the_rest_of_the_module_keeps_its_line():
    found = list(deletions(MODULE))
    assert {(each.kind, each.line, each.deleted) for each in found} == DELETED
    assert len(found) == len(DELETED)
    for each in found:
        ast.parse(each.text)
        assert each.text.count("\n") == MODULE.count("\n"), each.kind
        kept = [line for line in MODULE.splitlines() if line not in each.text.splitlines()]
        assert len(kept) <= 3, each.deleted
