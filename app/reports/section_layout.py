"""How a stage section is laid out: which side its tags stand on and how the leaders reach them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from app.reports.section import (
    Leader,
    PartKind,
    PartShape,
    RingSetVerdict,
    SectionInput,
    SectionLayout,
    SectionPart,
    TagColumn,
    TagGroup,
    TagPlace,
    drawn_cylinder,
    open_path,
)
from app.reports.section_shapes import BOTH_SIDES, HEIGHT, ONE_SIDE, SectionFrame, context_of, shapes_of

MOST_TAGS_ON_ONE_SIDE = 8
STEEPEST_RUN = 0.6
ELBOW_INSET = 14.0


@dataclass(frozen=True)
class TagMeasure:
    """The height of a tag, the gap under it and the row above a ring set, in pixels; the style sheet has the same."""

    height: float
    gap: float
    set_row: float
    row: float = 0.0  # what each row more than the usual adds
    signs: int = 0  # how many signs a row of the tag's lettering holds, by the widest lettering of the style sheet
    signs_beside: int = 0  # how many of them beside what stands before: the item's number, or the verdict's word

    def more_rows(self, part: SectionPart) -> int:
        """How many rows a tag needs beyond the usual, so that nothing of it is cut off."""
        if not self.signs:
            return 0
        name = ceil(len(part.name) / self.signs_beside) - 1
        last = f"{part.figure} {part.note}".strip()
        rows = 1 if len(last) <= self.signs else sum(ceil(len(each) / self.signs) for each in (part.figure, part.note))
        return min(MOST_MORE_ROWS, name + max(0, rows - 1))

    def height_of(self, part: SectionPart) -> float:
        """How high the tag of a part is."""
        return self.height + self.row * self.more_rows(part)


MOST_MORE_ROWS = 3
ONE_SIDE_TAGS = TagMeasure(height=56, gap=6, set_row=22, row=19, signs=32, signs_beside=26)
BOTH_SIDES_TAGS = TagMeasure(height=68, gap=4, set_row=22, row=19, signs=23, signs_beside=15)
RECORD_LABEL = 28.0
RECORD_ROW = 24.0
MOST_RECORD_PITCH = 60.0


def lay_out_section(section: SectionInput) -> SectionLayout:
    """Lay out the drawing of the gauging pages: tags on the right, or on both sides when there are many."""
    if len(section.parts) <= MOST_TAGS_ON_ONE_SIDE:
        return _compose(section, ONE_SIDE, _one_column(section, ONE_SIDE_TAGS))
    return _compose(section, BOTH_SIDES, _two_columns(section, BOTH_SIDES_TAGS))


def lay_out_record_section(section: SectionInput) -> SectionLayout:
    """Lay out the drawing of the printed record: small labels in one column, however many."""
    room = HEIGHT - RECORD_ROW * len(section.sets) - RECORD_LABEL
    pitch = min(MOST_RECORD_PITCH, room / max(1, len(section.parts)))
    measure = TagMeasure(height=RECORD_LABEL, gap=pitch - RECORD_LABEL, set_row=RECORD_ROW)
    return _compose(section, ONE_SIDE, _one_column(section, measure))


def _compose(section: SectionInput, frame: SectionFrame, columns: tuple[TagColumn, ...]) -> SectionLayout:
    shapes = shapes_of(section, frame)
    lowest = max((tag.middle_y for column in columns for tag in column.tags), default=0.0)
    return SectionLayout(
        width=frame.width,
        height=max(HEIGHT, lowest + 36),
        shapes=shapes,
        context=context_of(section, frame),
        columns=columns,
        leaders=tuple(leader for column in columns for leader in _leaders(column, shapes, frame)),
        bore_label=section.bore_label,
        cylinder_shown=drawn_cylinder(section),
    )


def _rank(part: SectionPart, cylinder: str) -> tuple[bool, int]:
    """Order tags from the head downwards, as their parts lie; parts of another cylinder come after."""
    ranks = {PartKind.CYLINDER: 2, PartKind.RING: 3, PartKind.PISTON: 4, PartKind.PIN: 4, PartKind.OTHER: 5}
    kind = PartKind(part.kind)
    rank = int(part.port != "suction") if kind is PartKind.VALVE else ranks[kind]
    return part.cylinder not in ("", cylinder), rank


def _runs(section: SectionInput) -> list[list[SectionPart]]:
    """Gather the rings of a set into one run; every other part is a run of its own."""
    cylinder = drawn_cylinder(section)
    runs: dict[str, list[SectionPart]] = {}
    for part in sorted(section.parts, key=lambda part: _rank(part, cylinder)):
        runs.setdefault(f"set {part.set_key}" if part.set_key else f"part {part.key}", []).append(part)
    return list(runs.values())


def _one_column(section: SectionInput, measure: TagMeasure) -> tuple[TagColumn, ...]:
    return (_column("right", _runs(section), section.sets, measure),)


def _two_columns(section: SectionInput, measure: TagMeasure) -> tuple[TagColumn, ...]:
    """Keep a middle stretch of the runs on the right, so that the taller of the two columns is lowest."""
    runs = _runs(section)
    # A tag that grows with what is found stays in its column.
    heights = [len(run) * (measure.height + measure.gap) + measure.set_row * bool(run[0].set_key) for run in runs]
    stretches = [(start, end) for end in range(len(runs), 0, -1) for start in range(1, end)] or [(1, 1)]
    start, end = min(stretches, key=lambda cut: _taller(heights, *cut))
    return (
        _column("left", runs[:start] + runs[end:], section.sets, measure),
        _column("right", runs[start:end], section.sets, measure),
    )


def _taller(heights: Sequence[float], start: int, end: int) -> float:
    right = sum(heights[start:end])
    return max(right, sum(heights) - right)


def _column(
    side: str, runs: Sequence[Sequence[SectionPart]], sets: Sequence[RingSetVerdict], measure: TagMeasure
) -> TagColumn:
    groups, top = [], 0.0
    for run in runs:
        ring_set = next((one for one in sets if one.key == run[0].set_key), None)
        next_top = top + (measure.set_row + measure.gap if ring_set else 0.0)
        tags = []
        for part in run:
            height = measure.height_of(part)
            tags.append(TagPlace(part, next_top + height / 2, measure.more_rows(part)))
            next_top += height + measure.gap
        groups.append(TagGroup(ring_set, top, tuple(tags)))
        top = next_top
    return TagColumn(side, tuple(groups))


def _leaders(column: TagColumn, shapes: Iterable[PartShape], frame: SectionFrame) -> list[Leader]:
    """Draw the leaders of one column: all at one angle, all elbows on one line."""
    places = {shape.part.key: shape for shape in shapes}
    pairs = [(tag, _facing(places[tag.part.key], column.side, frame)) for tag in column.tags if tag.part.key in places]
    outwards = -1.0 if column.side == "left" else 1.0
    edge = 0.0 if column.side == "left" else frame.width
    elbow = edge - outwards * ELBOW_INSET
    runs = [abs(elbow - x) - 4 for _, (x, _) in pairs]
    drops = [abs(tag.middle_y - y) for tag, (_, y) in pairs]
    slope = min([STEEPEST_RUN, *(run / drop for run, drop in zip(runs, drops, strict=True) if drop > 0)])
    return [_leader(tag, x, y, elbow, edge, outwards * slope) for tag, (x, y) in pairs]


def _leader(tag: TagPlace, x: float, y: float, elbow: float, edge: float, slope: float) -> Leader:
    bend = elbow - slope * abs(tag.middle_y - y)
    path = open_path([(x, y), (bend, y), (elbow, tag.middle_y), (edge, tag.middle_y)])
    return Leader(tag.part, path, x, y)


def _facing(shape: PartShape, side: str, frame: SectionFrame) -> tuple[float, float]:
    """Start the leader on the side the tag stands on; valves keep their own place across the head."""
    if side == "right" or shape.part.kind == PartKind.VALVE:
        return shape.anchor_x, shape.anchor_y
    return 2 * frame.middle - shape.anchor_x, shape.anchor_y
