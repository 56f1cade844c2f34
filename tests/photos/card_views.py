"""Views of a card on a panel, as a pinhole camera sees them: each with the true length, and where it was tapped.

The panel is flat, or bent like a cylinder whose axis lies anywhere along it; the card touches it at its center.
Lengths are straight, from one end on the panel to the other.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

LENGTH, WIDTH = 85.60, 53.98
"""ISO/IEC 7810, size ID-1, in millimeters."""
Places = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class View:
    """One photo: the true length in millimeters, and fractions of the upright photo as they were tapped."""

    truth: float
    card: Places
    span: Places
    width: int
    height: int


def views(dice: random.Random, count: int, least_radius: float = 600, most_lean: float = 65) -> Iterator[View]:
    """Yield so many views in which every point is within the photo; half the panels are flat."""
    while count:
        found = _view(dice, least_radius, most_lean)
        if found is not None:
            yield found
            count -= 1


def _view(dice: random.Random, least_radius: float, most_lean: float) -> View | None:
    width, height = dice.choice(((1600, 1200), (1200, 1600), (4000, 3000), (3024, 4032)))
    longer = max(width, height)
    bend = dice.choice((0.0, dice.uniform(0, 1 / least_radius)))
    axis = dice.uniform(0, np.pi)
    middle = np.array([dice.uniform(-160, 160), dice.uniform(-160, 160)])
    heading, half = dice.uniform(0, 2 * np.pi), dice.uniform(10, 150)
    ends = [middle + sign * half * np.array([np.cos(heading), np.sin(heading)]) for sign in (-1, 1)]
    corners = [np.array([x * LENGTH / 2, y * WIDTH / 2]) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    on_panel = [_on_panel(end, bend, axis) for end in ends]
    truth = float(np.linalg.norm(on_panel[1] - on_panel[0]))
    solid = [np.array([*corner, 0.0]) for corner in corners] + on_panel

    lean, turn, roll = np.radians(dice.uniform(0, most_lean)), dice.uniform(0, 2 * np.pi), dice.uniform(0, 2 * np.pi)
    focal = longer * dice.choice((0.72, 0.75, dice.uniform(0.7, 1.5)))
    away = dice.uniform(200, 700) * focal / (0.75 * longer)
    look = _turned(2, roll) @ _turned(0, lean) @ _turned(2, turn)
    shift = np.array([dice.uniform(-0.15, 0.15) * away, dice.uniform(-0.15, 0.15) * away, away])
    aim = np.array([*middle / 2, 0.0])
    places = []
    for point in solid:
        x, y, z = look @ (point - aim) + shift
        if z < 50:
            return None
        seen = np.array([width / 2 + focal * x / z, height / 2 + focal * y / z])
        seen += [dice.uniform(-1, 1) * 3 * longer / 1600 for _ in range(2)]
        places.append((float(seen[0] / width), float(seen[1] / height)))
    if not all(0 <= part <= 1 for place in places for part in place):
        return None
    return View(truth, tuple(places[:4]), tuple(places[4:]), width, height)


def _on_panel(place: npt.NDArray[np.float64], bend: float, axis: float) -> npt.NDArray[np.float64]:
    """Return where a place of the flat panel is once that is bent round an axis, away from the camera."""
    if bend == 0:
        return np.array([*place, 0.0])
    across = np.array([np.cos(axis), np.sin(axis)])
    far = float(place @ across)
    bent = place + (np.sin(far * bend) / bend - far) * across
    return np.array([*bent, (1 - np.cos(far * bend)) / bend])


def _turned(about: int, angle: float) -> npt.NDArray[np.float64]:
    one, other = [axis for axis in range(3) if axis != about]
    turned = np.eye(3)
    turned[one, one] = turned[other, other] = np.cos(angle)
    turned[one, other], turned[other, one] = -np.sin(angle), np.sin(angle)
    return turned
