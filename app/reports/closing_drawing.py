"""Drawings of closing a machine: the nuts of a joint in their order, and where the gaps of the rings stand."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from app.domain.tightening import FULL_TURN_DEGREES, crosswise

SIZE = 200.0
MIDDLE = SIZE / 2
NUT_CIRCLE = 70.0
OUTERMOST_RING, RING_PITCH = 84.0, 14.0
GAP_DEGREES = 9.0


@dataclass(frozen=True)
class Nut:
    """One nut: where it stands, and as which it is tightened."""

    x: float
    y: float
    turn: int


@dataclass(frozen=True)
class JointLayout:
    """A joint seen from above, and the same in words."""

    nuts: tuple[Nut, ...]
    spoken: str


@dataclass(frozen=True)
class RingGap:
    """One ring seen from above: the arc that it is, and where its number stands beside the gap."""

    path: str
    number: int
    x: float
    y: float


@dataclass(frozen=True)
class StaggerLayout:
    """The rings of a piston seen from above, the top one outermost, and the same in words."""

    rings: tuple[RingGap, ...]
    spoken: str


def joint_layout(nuts: int) -> JointLayout:
    """Draw the nuts of a joint, numbered by the order in which they are tightened."""
    turns = {nut: turn for turn, nut in enumerate(crosswise(nuts), start=1)}
    places = tuple(
        Nut(*_at(FULL_TURN_DEGREES * (nut - 1) / nuts, NUT_CIRCLE), turns[nut]) for nut in range(1, nuts + 1)
    )
    order = ", ".join(str(turns[nut]) for nut in range(1, nuts + 1))
    return JointLayout(places, f"{nuts} nuts; clockwise from the top they are tightened as {order}")


def stagger_layout(angles: Sequence[Decimal]) -> StaggerLayout:
    """Draw the gaps of a piston's rings, from the top ring outermost to the bottom one."""
    rings = tuple(_ring(number, float(angle)) for number, angle in enumerate(angles, start=1))
    words = "; ".join(f"ring {number} at {angle}°" for number, angle in enumerate(angles, start=1))
    return StaggerLayout(rings, f"Gaps seen from above: {words}")


def _ring(number: int, angle: float) -> RingGap:
    """Draw one ring, open at its gap."""
    radius = OUTERMOST_RING - RING_PITCH * (number - 1)
    (start_x, start_y), (end_x, end_y) = (_at(angle + side * GAP_DEGREES, radius) for side in (1, -1))
    path = f"M{start_x:.1f} {start_y:.1f}A{radius:.1f} {radius:.1f} 0 1 1 {end_x:.1f} {end_y:.1f}"
    return RingGap(path, number, *_at(angle, radius))


def _at(degrees: float, radius: float) -> tuple[float, float]:
    """Give a point on a circle, clockwise from the top."""
    turn = math.radians(degrees)
    return round(MIDDLE + radius * math.sin(turn), 1), round(MIDDLE - radius * math.cos(turn), 1)
