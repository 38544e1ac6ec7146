"""The drawing of a bore: its section on each axis, with wear drawn larger by a factor that is worked out and stated."""

import math
from dataclasses import dataclass
from decimal import Decimal

TOP = 36.0
BOTTOM = 336.0
FIRST_LEVEL = 74.0
LAST_LEVEL = 298.0
WALL = 26.0
WEAR_ROOM = 26.0
BORE_WIDTH = 92.0
AXIS_PITCH = 204.0
LEVEL_COLUMN = 96.0


@dataclass(frozen=True)
class BoreAxis:
    """One axis: its name ("P"), what it means ("along the pin") and the diameter at each level, from the top."""

    name: str
    meaning: str
    diameters_mm: tuple[Decimal | None, ...]


@dataclass(frozen=True)
class BoreInput:
    """A bore as gauged. levels are pairs of name and place ("A", "top of ring travel"), from the top.

    figures holds the readings as they are to be written, in the same order as the diameters; current is the
    level and axis (both counted from nought) that is being written, or None.
    """

    base_size_mm: Decimal
    base_label: str
    levels: tuple[tuple[str, str], ...]
    axes: tuple[BoreAxis, ...]
    figures: tuple[tuple[str, ...], ...]
    verdict: str = "notgauged"
    current: tuple[int, int] | None = None
    width: float = 508.0


@dataclass(frozen=True)
class BoreReading:
    """One reading drawn across the bore: the dots on both walls and the figure between them."""

    level: str
    y: float
    left_x: float
    right_x: float
    figure: str
    current: bool


@dataclass(frozen=True)
class BoreSection:
    """The section on one axis. walls are the outlines that are lined; profiles join the dots, and end at them."""

    name: str
    meaning: str
    middle_x: float
    base_left_x: float
    base_right_x: float
    walls: tuple[str, str]
    profiles: tuple[str, str]
    readings: tuple[BoreReading, ...]


@dataclass(frozen=True)
class LevelMark:
    """The balloon of a level and what the level is called."""

    name: str
    place: str
    y: float


@dataclass(frozen=True)
class BoreLayout:
    """A bore ready to be drawn."""

    width: float
    height: float
    sections: tuple[BoreSection, ...]
    levels: tuple[LevelMark, ...]
    level_x: float
    exaggeration: int
    exaggeration_note: str
    base_note: str
    verdict: str
    spoken: str


@dataclass(frozen=True)
class _Measure:
    """How lengths become pixels: the place of each level, and pixels of radius for a millimetre of wear."""

    level_y: tuple[float, ...]
    px_per_mm: float
    base_size_mm: float

    def bulge(self, diameter_mm: Decimal) -> float:
        """Give how far the wall stands back from the new bore, in pixels."""
        return (float(diameter_mm) - self.base_size_mm) / 2 * self.px_per_mm


def exaggeration_of(bore: BoreInput) -> int:
    """Work out how many times larger the wear is drawn than the bore: a round number that fits the room.

    One reading off the base size by a hundredth on a 78 mm bore would be unseen at true size.
    """
    known = [float(size) for axis in bore.axes for size in axis.diameters_mm if size is not None]
    largest_mm = max((abs(size - float(bore.base_size_mm)) / 2 for size in known), default=0.0)
    if largest_mm == 0:
        return 1
    true_px_per_mm = BORE_WIDTH / float(bore.base_size_mm)
    return max(1, _round_down(WEAR_ROOM / (largest_mm * true_px_per_mm)))


def _round_down(factor: float) -> int:
    if factor < 1:
        return 1
    power = 10 ** math.floor(math.log10(factor))
    return int(next(step * power for step in (5, 2, 1) if step * power <= factor))


def lay_out_bore(bore: BoreInput) -> BoreLayout:
    """Lay out a bore drawing."""
    exaggeration = exaggeration_of(bore)
    measure = _Measure(_level_places(len(bore.levels)), _px_per_mm(bore, exaggeration), float(bore.base_size_mm))
    section_room = (bore.width - LEVEL_COLUMN) / max(1, len(bore.axes))
    return BoreLayout(
        width=bore.width,
        height=BOTTOM + 74,
        sections=tuple(
            _section(bore, number, section_room * (number + 0.5), measure) for number in range(len(bore.axes))
        ),
        levels=tuple(LevelMark(name, place, y) for (name, place), y in zip(bore.levels, measure.level_y, strict=True)),
        level_x=bore.width - LEVEL_COLUMN + 8,
        exaggeration=exaggeration,
        exaggeration_note=_exaggeration_note(exaggeration),
        base_note=f"Broken line: {bore.base_label}",
        verdict=bore.verdict,
        spoken=_spoken(bore),
    )


def _px_per_mm(bore: BoreInput, exaggeration: int) -> float:
    return exaggeration * BORE_WIDTH / float(bore.base_size_mm)


def _level_places(count: int) -> tuple[float, ...]:
    if count < 2:
        return ((FIRST_LEVEL + LAST_LEVEL) / 2,) * count
    pitch = (LAST_LEVEL - FIRST_LEVEL) / (count - 1)
    return tuple(FIRST_LEVEL + pitch * number for number in range(count))


def _exaggeration_note(exaggeration: int) -> str:
    if exaggeration == 1:
        return "Wear drawn at true size, length not to scale"
    return f"Wear drawn {exaggeration} times larger, length not to scale"


def _section(bore: BoreInput, number: int, middle_x: float, measure: _Measure) -> BoreSection:
    axis = bore.axes[number]
    left, right = middle_x - BORE_WIDTH / 2, middle_x + BORE_WIDTH / 2
    readings = tuple(
        _reading(bore, number, level, middle_x, measure)
        for level, size in enumerate(axis.diameters_mm)
        if size is not None
    )
    return BoreSection(
        axis.name, axis.meaning, middle_x, left, right,
        walls=(_wall(left, -1.0, readings), _wall(right, 1.0, readings)),
        profiles=(_line([(one.left_x, one.y) for one in readings]), _line([(one.right_x, one.y) for one in readings])),
        readings=readings,
    )  # fmt: skip


def _reading(bore: BoreInput, axis: int, level: int, middle_x: float, measure: _Measure) -> BoreReading:
    size = bore.axes[axis].diameters_mm[level]
    bulge = measure.bulge(size) if size is not None else 0.0
    half = BORE_WIDTH / 2 + bulge
    return BoreReading(
        level=bore.levels[level][0],
        y=measure.level_y[level],
        left_x=middle_x - half,
        right_x=middle_x + half,
        figure=bore.figures[axis][level],
        current=bore.current == (level, axis),
    )


def _wall(inner_x: float, outwards: float, readings: tuple[BoreReading, ...]) -> str:
    """Line the wall only between the first and the last reading: nothing is known beyond them."""
    if len(readings) < 2:
        return ""
    outer_x = inner_x + outwards * (WALL + WEAR_ROOM)
    inside = [(one.left_x if outwards < 0 else one.right_x, one.y) for one in readings]
    return _line([*inside, (outer_x, readings[-1].y), (outer_x, readings[0].y)]) + "Z"


def _line(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) if points else ""


def _spoken(bore: BoreInput) -> str:
    parts = [
        f"{axis.name}, {axis.meaning}: "
        + ", ".join(
            f"{name} {figure}" if figure else f"{name} not gauged"
            for (name, _), figure in zip(bore.levels, figures, strict=True)
        )
        for axis, figures in zip(bore.axes, bore.figures, strict=True)
    ]
    return "Bore in section. " + ". ".join(parts)
