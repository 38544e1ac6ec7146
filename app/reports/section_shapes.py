"""The shapes of a stage section: cylinder, piston, rings, pin and valves in one frame."""

from dataclasses import dataclass

from app.reports.section import (
    PartKind,
    PartShape,
    Rectangle,
    SectionContext,
    SectionInput,
    SectionPart,
    box_path,
    closed_path,
    open_path,
    parts_of,
)

HEAD_TOP = 36.0
HEAD_BOTTOM = 104.0
WALL_TOP = 112.0
PISTON_TOP = 196.0
HEIGHT = 520.0
WALL_BOTTOM = HEIGHT - 62
PISTON_BOTTOM = HEIGHT - 84
PIN_MIDDLE = HEIGHT - 134
RING_HEIGHT = 20.0


@dataclass(frozen=True)
class SectionFrame:
    """Where the cylinder stands across the drawing, in pixels."""

    width: float
    bore_left: float
    bore_right: float
    wall: float
    fin: float

    @property
    def middle(self) -> float:
        """The centre line."""
        return (self.bore_left + self.bore_right) / 2

    @property
    def wall_left(self) -> float:
        """The outer face of the left wall."""
        return self.bore_left - self.wall

    @property
    def wall_right(self) -> float:
        """The outer face of the right wall."""
        return self.bore_right + self.wall


ONE_SIDE = SectionFrame(width=232, bore_left=48, bore_right=148, wall=28, fin=16)
BOTH_SIDES = SectionFrame(width=176, bore_left=54, bore_right=122, wall=18, fin=10)


def shapes_of(section: SectionInput, frame: SectionFrame) -> tuple[PartShape, ...]:
    """Draw every part of the cut cylinder that has a place in a section, back to front."""
    shapes = [_cylinder(part, frame) for part in parts_of(section, PartKind.CYLINDER)[:1]]
    shapes += [_piston(section, part, frame) for part in parts_of(section, PartKind.PISTON)[:1]]
    shapes += _rings(section, frame)
    shapes += [_pin(part, frame) for part in parts_of(section, PartKind.PIN)[:1]]
    return tuple(shapes + _valves(section, frame))


def context_of(section: SectionInput, frame: SectionFrame) -> SectionContext:
    """Draw what carries no verdict. A cylinder or piston that is not gauged on its own is still drawn, unlined."""
    left, right, dimension_y = frame.bore_left, frame.bore_right, HEIGHT - 14
    return SectionContext(
        fins=_fins(frame),
        body=_bodies(section, frame),
        ports="".join(_ports(box) for _, box in _valve_boxes(section, frame)),
        flows=tuple(_flow(part, box) for part, box in _valve_boxes(section, frame)),
        centre_line=open_path([(frame.middle, 6), (frame.middle, HEIGHT - 30)]),
        bore_extension=open_path([(left, WALL_BOTTOM + 6), (left, HEIGHT - 6)])
        + open_path([(right, WALL_BOTTOM + 6), (right, HEIGHT - 6)]),
        bore_dimension=open_path([(left, dimension_y), (right, dimension_y)]),
        bore_text_x=frame.middle,
        bore_text_y=dimension_y - 7,
    )


def _fins(frame: SectionFrame) -> str:
    paths = []
    for step in range(int((WALL_BOTTOM - WALL_TOP - 24) / 26)):
        y = WALL_TOP + 18 + step * 26
        for x, outwards in ((frame.wall_left, -frame.fin), (frame.wall_right, frame.fin)):
            paths.append(open_path([(x, y), (x + outwards, y + 2), (x + outwards, y + 9), (x, y + 11)]))
    return "".join(paths)


def _bodies(section: SectionInput, frame: SectionFrame) -> str:
    middle, left, right = frame.middle, frame.wall_left, frame.wall_right
    rod = closed_path(
        [
            (middle - 9, PISTON_BOTTOM),
            (middle - 13, HEIGHT - 36),
            (middle + 13, HEIGHT - 36),
            (middle + 9, PISTON_BOTTOM),
        ]
    )
    head = box_path(Rectangle(left, HEAD_TOP, right - left, HEAD_BOTTOM - HEAD_TOP))
    body = rod + head
    if not parts_of(section, PartKind.CYLINDER):
        body += _wall_path(frame)
    if not parts_of(section, PartKind.PISTON):
        body += box_path(_piston_box(frame))
    return body


def _wall_path(frame: SectionFrame) -> str:
    height = WALL_BOTTOM - WALL_TOP
    return box_path(Rectangle(frame.wall_left, WALL_TOP, frame.wall, height)) + box_path(
        Rectangle(frame.bore_right, WALL_TOP, frame.wall, height)
    )


def _piston_box(frame: SectionFrame) -> Rectangle:
    return Rectangle(
        frame.bore_left + 5, PISTON_TOP, frame.bore_right - frame.bore_left - 10, PISTON_BOTTOM - PISTON_TOP
    )


def _cylinder(part: SectionPart, frame: SectionFrame) -> PartShape:
    anchor_y = WALL_TOP + 26
    return PartShape(
        part,
        _wall_path(frame),
        "",
        frame.bore_right + frame.wall / 2,
        anchor_y,
        frame.wall_left + frame.wall / 2,
        anchor_y,
    )


def _piston(section: SectionInput, part: SectionPart, frame: SectionFrame) -> PartShape:
    box = _piston_box(frame)
    anchor_y = PISTON_BOTTOM - 14 if _pin_is_named_first(section) else PIN_MIDDLE - 42
    return PartShape(part, box_path(box), "", box.x + box.width - 10, anchor_y, frame.middle, PISTON_BOTTOM - 10)


def _pin_is_named_first(section: SectionInput) -> bool:
    kinds = [part.kind for part in section.parts if part.kind in (PartKind.PIN, PartKind.PISTON)]
    return bool(kinds) and kinds[0] == PartKind.PIN and PartKind.PISTON in kinds


def ring_tops(count: int) -> list[float]:
    """Place the grooves: at most 46 px apart, closer when there are many rings."""
    if not count:
        return []
    pitch = min(46.0, (PIN_MIDDLE - 52 - PISTON_TOP - 14) / count)
    return [PISTON_TOP + 14 + pitch * number for number in range(count)]


def _rings(section: SectionInput, frame: SectionFrame) -> list[PartShape]:
    rings = parts_of(section, PartKind.RING)[:6]
    return [
        _ring(part, top, number, frame)
        for number, (part, top) in enumerate(zip(rings, ring_tops(len(rings)), strict=True))
    ]


def _ring(part: SectionPart, top: float, number: int, frame: SectionFrame) -> PartShape:
    left, width = frame.bore_left, frame.bore_right - frame.bore_left
    gap_left = left + width * (0.68, 0.2, 0.46)[number % 3]
    gap_right = gap_left + 9
    outline = box_path(Rectangle(left, top, gap_left - left, RING_HEIGHT))
    outline += box_path(Rectangle(gap_right, top, frame.bore_right - gap_right, RING_HEIGHT))
    middle_y = top + RING_HEIGHT / 2
    return PartShape(part, outline, "", frame.bore_right - 7, middle_y, left + width * 0.85, middle_y)


def _pin(part: SectionPart, frame: SectionFrame) -> PartShape:
    radius = (frame.bore_right - frame.bore_left) * 0.24
    outline = f"M{frame.middle - radius:.1f} {PIN_MIDDLE:.1f}a{radius:.1f} {radius:.1f} 0 1 0 {2 * radius:.1f} 0"
    outline += f"a{radius:.1f} {radius:.1f} 0 1 0 {-2 * radius:.1f} 0Z"
    return PartShape(part, outline, "", frame.middle + radius - 7, PIN_MIDDLE, frame.middle, PIN_MIDDLE)


def _valve_boxes(section: SectionInput, frame: SectionFrame) -> list[tuple[SectionPart, Rectangle]]:
    valves = sorted(parts_of(section, PartKind.VALVE), key=lambda part: part.port != "suction")
    if not valves:
        return []
    gap, room = 8.0, frame.wall_right - frame.wall_left
    width = (room - gap * (len(valves) + 1)) / len(valves)
    lefts = [frame.wall_left + gap + number * (width + gap) for number in range(len(valves))]
    return [
        (part, Rectangle(x, HEAD_TOP + 8, width, HEAD_BOTTOM - HEAD_TOP - 8))
        for part, x in zip(valves, lefts, strict=True)
    ]


def _valves(section: SectionInput, frame: SectionFrame) -> list[PartShape]:
    boxes = _valve_boxes(section, frame)
    step = 44.0 / max(1, len(boxes))
    return [_valve(part, box, box.y + 8 + step * number) for number, (part, box) in enumerate(boxes)]


def _valve(part: SectionPart, box: Rectangle, anchor_y: float) -> PartShape:
    """Draw seat and plate: a suction plate hangs below its seat and opens inwards, a delivery plate lies above it."""
    seat_y = box.y + 22 if part.port == "suction" else box.y + 40
    plate_y = seat_y + 11 if part.port == "suction" else seat_y - 11
    inner = Rectangle(box.x + box.width * 0.2, min(seat_y, plate_y) - 5, box.width * 0.6, 21)
    detail = box_path(inner) + "".join(open_path([(inner.x, y), (inner.x + inner.width, y)]) for y in (seat_y, plate_y))
    return PartShape(part, box_path(box), detail, box.x + box.width - 6, anchor_y, box.x + box.width / 2, box.y + 30)


def _ports(box: Rectangle) -> str:
    middle, half = box.x + box.width / 2, min(9.0, box.width / 4)
    return "".join(open_path([(x, 12), (x, box.y)]) for x in (middle - half, middle + half))


def _flow(part: SectionPart, box: Rectangle) -> str:
    middle = box.x + box.width / 2
    ends = [(middle, 6.0), (middle, HEAD_TOP + 2)]
    return open_path(ends if part.port == "suction" else ends[::-1])
