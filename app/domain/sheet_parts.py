"""Parts in a limit sheet's file: read once, then set out one by one for each ring and each cylinder."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from app.domain.findings import RING_SET, WHOLE_VALVE
from app.domain.limits import Construction, OrderLine, Part, PartKind
from app.domain.numbers import Length
from app.domain.sheet_characteristics import read_characteristic
from app.domain.sheet_faults import nearest
from app.domain.sheet_table import LONGEST_TEXT, Table, repeated

MOST_PARTS = 99
MOST_ALIKE = 12
MOST_OF_A_PART = 30
MOST_QUANTITY = 999
OF_CYLINDER = re.compile(r"c([1-9])-.+")
RENEWED = {
    PartKind.VALVE: WHOLE_VALVE,
    PartKind.CYLINDER: "cylinder",
    PartKind.RING: RING_SET,
    PartKind.PISTON: "piston",
    PartKind.PIN: "pin",
    PartKind.OTHER: "part",
}
WAITING_FOR_CYLINDER = (PartKind.RING, PartKind.PISTON)


class Port(StrEnum):
    """The port a valve sits in."""

    SUCTION = "suction"
    DELIVERY = "delivery"


class Joint(StrEnum):
    """How the ends of a ring meet."""

    BUTT = "butt"
    STEP = "step"
    ANGLE = "angle"
    SEGMENTED = "segmented"


@dataclass(frozen=True)
class StageFrame:
    """What a part takes from its stage."""

    number: int
    bore: Length
    stroke: Length | None
    cylinders: int
    source: str


@dataclass(frozen=True)
class Draft:
    """A part as the file gives it, before it is set out."""

    table: Table
    part: Part
    count: int
    cylinder: int
    after: tuple[str, ...] | None

    def copies(self, cylinders: int) -> "list[Copy]":
        """Set the part out: for each cylinder, then for each of its count."""
        of_key = OF_CYLINDER.fullmatch(self.part.key) if cylinders > 1 else None
        if of_key:
            return self._counted(int(of_key[1]), "", "")
        chosen = (self.cylinder,) if self.cylinder else range(1, cylinders + 1)
        if cylinders == 1 or (self.part.kind is PartKind.OTHER and not self.cylinder):
            return self._counted(0, "", "")
        return [copy for number in chosen for copy in self._counted(number, f"c{number}-", f", cylinder {number}")]

    def _counted(self, cylinder: int, before: str, behind: str) -> "list[Copy]":
        """Set out each of a count on one cylinder."""
        key, name = f"{before}{self.part.key}", self.part.name
        if not self.count:
            return [Copy(self, key, f"{name}{behind}", cylinder)]
        return [Copy(self, f"{key}-{n}", f"{name} {n}{behind}", cylinder) for n in range(1, self.count + 1)]


@dataclass(frozen=True)
class Copy:
    """One part set out, with its own key and name, on a cylinder or (0) on the stage."""

    draft: Draft
    key: str
    name: str
    cylinder: int

    @property
    def kind(self) -> PartKind:
        """Its kind of part."""
        return self.draft.part.kind

    def answers_to(self, name: str) -> bool:
        """Whether a name in the file means this part: its own key, or the key that it was set out from."""
        return name in (self.key, self.draft.part.key)

    def shares_cylinder(self, other: "Copy") -> bool:
        """Whether both are on one cylinder, or one of them on the whole stage."""
        return 0 in (self.cylinder, other.cylinder) or self.cylinder == other.cylinder


def read_copies(table: Table, frame: StageFrame) -> list[Copy]:
    """Read the parts of a stage and set them out."""
    drafts = [_read_draft(part, frame) for part in table.tables("part", MOST_PARTS)]
    copies = [copy for draft in drafts for copy in draft.copies(frame.cylinders)]
    if len(copies) > MOST_PARTS:
        table.refuse("part", f"at most {MOST_PARTS} parts in a stage; found {len(copies)}")
    copies = copies[:MOST_PARTS]
    for index, copy in enumerate(copies):
        if copy.key and copy.key in (earlier.key for earlier in copies[:index]):
            copy.draft.table.refuse("key", f"a key that no other part of the stage has; found “{copy.key}” twice")
        if max(len(copy.key), len(copy.name)) > LONGEST_TEXT:
            copy.draft.table.refuse("", "a shorter key or name, so that number and cylinder can be added to it")
    return copies


def parts_from(copies: Sequence[Copy]) -> tuple[Part, ...]:
    """Make the parts in item order, each with the mates that it waits for."""
    return tuple(
        replace(c.draft.part, index=index, key=c.key, name=c.name, judge_again_after=_after(c, copies))
        for index, c in enumerate(copies, start=1)
    )


def names_of(copies: Sequence[Copy]) -> set[str]:
    """Every name that a part in a list answers to."""
    return {name for copy in copies for name in (copy.key, copy.draft.part.key) if name}


def _after(copy: Copy, copies: Sequence[Copy]) -> tuple[str, ...]:
    """Name the parts after which a part is judged again: those of the file, else for ring and piston the cylinder."""
    mates = [other for other in copies if other is not copy and copy.shares_cylinder(other)]
    if copy.draft.after is None:
        waits = copy.kind in WAITING_FOR_CYLINDER
        return tuple(mate.key for mate in mates if waits and mate.kind is PartKind.CYLINDER)
    for name in copy.draft.after:
        if not any(mate.answers_to(name) for mate in mates):
            known = nearest(name, names_of(mates))
            copy.draft.table.refuse("judge_again_after", f"parts of the same stage; no part “{name}”; {known}")
    return tuple(mate.key for mate in mates if any(mate.answers_to(name) for name in copy.draft.after))


def _read_draft(table: Table, frame: StageFrame) -> Draft:
    """Read one part."""
    kind = table.choice("kind", tuple(PartKind))
    renews = RENEWED[kind]
    characteristics = [
        read_characteristic(each, frame.bore, frame.stroke, renews, frame.source)
        for each in table.tables("characteristic", MOST_OF_A_PART)
    ]
    for key in repeated([each.key for each in characteristics if each.key]):
        table.refuse("characteristic", f"a key of its own for each; found “{key}” twice")
    part = Part(
        stage=frame.number,
        index=0,
        key=table.key(),
        kind=kind,
        name=table.text("name"),
        characteristics=tuple(characteristics),
        orders=tuple(read_order(order, renews) for order in table.tables("order", MOST_OF_A_PART)),
        material=table.text("material", ""),
    )
    draft = Draft(table, _of_kind(table, part), _count(table), _cylinder(table, part.key, frame), _names_after(table))
    table.close()
    return draft


def _of_kind(table: Table, part: Part) -> Part:
    """Read the keys that only a valve or only a ring has."""
    if part.kind is PartKind.VALVE:
        port = table.choice("port", tuple(Port)).value
        part = replace(part, port=port, construction=table.choice("construction", tuple(Construction)))
    else:
        table.only_for("only a valve", "port", "construction")
    if part.kind is not PartKind.RING:
        table.only_for("only a ring", "joint")
    elif table.has("joint"):
        part = replace(part, joint=table.choice("joint", tuple(Joint)).value)
    return part


def _count(table: Table) -> int:
    """Read how many alike there are; without a count the part keeps its own key and name."""
    return table.whole("count", 1, MOST_ALIKE) if table.has("count") else 0


def _cylinder(table: Table, key: str, frame: StageFrame) -> int:
    """Read the cylinder a part is on, 0 for all of them; a key such as c1-ring says it too."""
    cylinder = table.whole("cylinder", 1, frame.cylinders) if table.has("cylinder") else 0
    of_key = OF_CYLINDER.fullmatch(key) if frame.cylinders > 1 else None
    if of_key and (int(of_key[1]) > frame.cylinders or cylinder not in (0, int(of_key[1]))):
        table.refuse("key", f"a key of one of the {frame.cylinders} cylinders, and of the one named; found “{key}”")
    return cylinder


def _names_after(table: Table) -> tuple[str, ...] | None:
    """Read the mates a part waits for; an empty list means none, no list means what its kind waits for."""
    if table.values.get("judge_again_after") == []:
        table.has("judge_again_after")
        return ()
    names = table.texts("judge_again_after", (), MOST_PARTS)
    return names if table.has("judge_again_after") else None


def read_order(table: Table, renews: str) -> OrderLine:
    """Read what is ordered when this is renewed."""
    line = OrderLine(
        renews=table.text("renews", renews),
        name=table.text("name"),
        number=table.text("number"),
        quantity=table.whole("quantity", 1, MOST_QUANTITY, 1),
        kit=table.text("kit", ""),
    )
    table.close()
    return line
