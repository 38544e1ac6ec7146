"""The section drawing of one stage: what goes into it and the places everything is drawn at."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum


class PartKind(StrEnum):
    """What a part is, as far as its place in a section needs it."""

    VALVE = "valve"
    CYLINDER = "cylinder"
    RING = "ring"
    PISTON = "piston"
    PIN = "pin"
    OTHER = "other"


@dataclass(frozen=True)
class SectionPart:
    """One part as the drawing and its tag show it; all words are ready to be read.

    item is the number on tag, drawing and record ("2-04"); figure is the deciding number with its
    measure ("taper 0.09"); note is what stands beside the verdict's word ("with the set").
    """

    key: str
    item: str
    name: str
    kind: str
    port: str | None
    verdict: str
    word: str
    figure: str
    note: str
    href: str
    selected: bool = False
    set_key: str | None = None
    cylinder: str = ""

    @property
    def spoken(self) -> str:
        """Everything the tag says, word for word as it is seen, so that it can be named aloud as it is read."""
        return " ".join(filter(None, ("Item", self.item, self.name, self.word, self.note, self.figure)))


@dataclass(frozen=True)
class RingSetVerdict:
    """The verdict that joins the rings of one set."""

    key: str
    name: str
    verdict: str
    word: str


@dataclass(frozen=True)
class SectionInput:
    """A stage to be drawn. bore_label is the dimension under the cylinder ("⌀ 78.00")."""

    bore_label: str
    parts: tuple[SectionPart, ...]
    sets: tuple[RingSetVerdict, ...] = ()
    cylinder_shown: str = ""


@dataclass(frozen=True)
class Rectangle:
    """A rectangle in the drawing, in pixels."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class PartShape:
    """The outline of one part: lining, drawn details, the point its leader starts from and its small mark."""

    part: SectionPart
    outline: str
    detail: str
    anchor_x: float
    anchor_y: float
    mark_x: float
    mark_y: float


@dataclass(frozen=True)
class Leader:
    """The line from a part to its tag."""

    part: SectionPart
    path: str
    knob_x: float
    knob_y: float


@dataclass(frozen=True)
class TagPlace:
    """A tag and where its middle lies, measured from the top of the drawing."""

    part: SectionPart
    middle_y: float
    more_rows: int = 0  # beyond the usual rows of a tag, for a name, figure or note that needs them


@dataclass(frozen=True)
class TagGroup:
    """Tags that belong together: the rings of one set under the set's verdict, or a run of single parts."""

    ring_set: RingSetVerdict | None
    set_row_y: float
    tags: tuple[TagPlace, ...]

    @property
    def bottom_y(self) -> float:
        """The middle of the last tag of the group."""
        return self.tags[-1].middle_y


@dataclass(frozen=True)
class TagColumn:
    """One column of tags, on the left or on the right of the drawing."""

    side: str
    groups: tuple[TagGroup, ...]

    @property
    def tags(self) -> tuple[TagPlace, ...]:
        """Every tag of the column, from the top."""
        return tuple(tag for group in self.groups for tag in group.tags)


@dataclass(frozen=True)
class SectionLayout:
    """A stage section ready to be drawn."""

    width: float
    height: float
    shapes: tuple[PartShape, ...]
    context: "SectionContext"
    columns: tuple[TagColumn, ...]
    leaders: tuple[Leader, ...]
    bore_label: str
    cylinder_shown: str

    @property
    def has_sides(self) -> bool:
        """Whether tags stand on both sides."""
        return len(self.columns) == 2


@dataclass(frozen=True)
class SectionContext:
    """What is drawn without a verdict: fins, rod, ports with their flow, centre line, the bore's dimension."""

    fins: str
    body: str
    ports: str
    flows: tuple[str, ...]
    centre_line: str
    bore_extension: str
    bore_dimension: str
    bore_text_x: float
    bore_text_y: float


def drawn_cylinder(section: SectionInput) -> str:
    """Tell which cylinder is cut: the one asked for, else the selected part's, else the first one named."""
    if section.cylinder_shown:
        return section.cylinder_shown
    named = [part.cylinder for part in section.parts if part.selected and part.cylinder]
    named += [part.cylinder for part in section.parts if part.cylinder]
    return named[0] if named else ""


def parts_of(section: SectionInput, kind: PartKind) -> list[SectionPart]:
    """List the parts of one kind that the cut cylinder holds."""
    cylinder = drawn_cylinder(section)
    return [part for part in section.parts if part.kind == kind and part.cylinder in ("", cylinder)]


def closed_path(points: Sequence[tuple[float, float]]) -> str:
    """Write a closed outline."""
    return f"{open_path(points)}Z"


def open_path(points: Sequence[tuple[float, float]]) -> str:
    """Write a line through points."""
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def box_path(box: Rectangle) -> str:
    """Write a rectangle as an outline."""
    return f"M{box.x:.1f} {box.y:.1f}h{box.width:.1f}v{box.height:.1f}h{-box.width:.1f}Z"
