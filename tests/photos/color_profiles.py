"""Builds color profiles for tests, from the primaries of a color space and nothing of ours."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from typing import Any


def matrix_profile(primaries: tuple[tuple[float, float], ...], gamma: float) -> bytes:
    """Build a display profile by ICC.1:2001-04: three colorants adapted to D50, and one gamma."""
    columns = adapted_columns(primaries)

    def fixed(value: float) -> bytes:
        return struct.pack(">i", round(value * 65536))

    tags = {b"wtpt": b"XYZ \0\0\0\0" + b"".join(map(fixed, (0.9642, 1.0, 0.8249)))}
    for name, column in zip((b"rXYZ", b"gXYZ", b"bXYZ"), columns, strict=True):
        tags[name] = b"XYZ \0\0\0\0" + b"".join(map(fixed, column))
    for name in (b"rTRC", b"gTRC", b"bTRC"):
        tags[name] = b"curv\0\0\0\0" + struct.pack(">IH", 1, round(gamma * 256)) + b"\0\0"
    tags[b"desc"] = b"desc\0\0\0\0" + struct.pack(">I", 5) + b"wide\0" + b"\0" * 78
    tags[b"cprt"] = b"text\0\0\0\0none\0"
    table, data, place = b"", b"", 128 + 4 + 12 * len(tags)
    for name, content in tags.items():
        table += name + struct.pack(">II", place + len(data), len(content))
        data += content + b"\0" * (-len(content) % 4)
    body = struct.pack(">I", len(tags)) + table + data
    head = struct.pack(">I4sI4s4s4s12x4s", 128 + len(body), b"none", 0x02400000, b"mntr", b"RGB ", b"XYZ ", b"acsp")
    head = head.ljust(68, b"\0") + b"".join(map(fixed, (0.9642, 1.0, 0.8249)))
    return head.ljust(128, b"\0") + body


def adapted_columns(primaries: tuple[tuple[float, float], ...]) -> list[list[float]]:
    """Return the XYZ of each primary, adapted from D65 to D50 by the Bradford matrix of CSS Color 4."""
    white = (0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290)
    unscaled = [(x / y, 1.0, (1 - x - y) / y) for x, y in primaries]
    scales = solved(unscaled, white)
    bradford = (
        (1.0479297925, 0.0229468706, -0.0501922266),
        (0.0296278088, 0.9904344267, -0.0170738019),
        (-0.0092430406, 0.0150551914, 0.7518742814),
    )
    return [
        [sum(row[place] * column[place] * scale for place in range(3)) for row in bradford]
        for column, scale in zip(unscaled, scales, strict=True)
    ]


def solved(columns: Sequence[tuple[float, ...]], target: tuple[float, ...]) -> list[float]:
    """Return how much of each column adds up to the target, by Cramer's rule."""

    def determinant(a: Any, b: Any, c: Any) -> float:
        return (
            a[0] * (b[1] * c[2] - b[2] * c[1])
            - b[0] * (a[1] * c[2] - a[2] * c[1])
            + c[0] * (a[1] * b[2] - a[2] * b[1])
        )

    whole = determinant(*columns)
    return [determinant(*[target if i == place else columns[i] for i in range(3)]) / whole for place in range(3)]
