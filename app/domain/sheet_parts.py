"""One part in a limit sheet's file, as it is written there: read once, and set out later as often as it is fitted."""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from app.domain.joints import GapGauged
from app.domain.limits import Characteristic, Construction, Part, PartKind
from app.domain.numbers import Length
from app.domain.sheet_characteristics import read_characteristic
from app.domain.sheet_orders import RENEWED, Room, read_order, read_oversizes
from app.domain.sheet_table import Table, repeated
from app.domain.temperature import WORKING_RANGE_C

MOST_PARTS = 99
MOST_ALIKE = 12
MOST_OF_A_PART = 30
LARGEST_SHARE_OVERSIZE = Decimal("1.1")
OF_CYLINDER = re.compile(r"c([1-9])-.+")


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
    """A part as the file gives it, before it is set out; the parts it names are named as in the file."""

    table: Table
    part: Part
    characteristics: tuple[Table, ...]
    count: int
    cylinder: int
    after: tuple[str, ...] | None


def read_draft(table: Table, frame: StageFrame) -> Draft:
    """Read one part."""
    kind = table.choice("kind", tuple(PartKind))
    tables = tuple(table.tables("characteristic", MOST_OF_A_PART))
    characteristics = _characteristics(table, tables, RENEWED[kind], frame)
    part = Part(
        stage=frame.number,
        index=0,
        key=table.key(),
        kind=kind,
        name=table.text("name"),
        characteristics=characteristics,
        orders=tuple(read_order(order, RENEWED[kind]) for order in table.tables("order", MOST_OF_A_PART)),
        material=table.text("material", ""),
        working_temperature_c=table.number("working_temperature", WORKING_RANGE_C, "degrees Celsius"),
        renew_with=table.texts("renew_with", (), MOST_PARTS),
        rework_before=table.texts("rework_before", (), MOST_PARTS),
        oversizes=read_oversizes(table, _room(kind, characteristics, frame.bore)),
    )
    cylinder = _cylinder(table, part.key, frame)
    draft = Draft(table, _of_kind(table, part), tables, _count(table), cylinder, _names_after(table))
    table.close()
    return draft


def _characteristics(
    table: Table, tables: tuple[Table, ...], renews: str, frame: StageFrame
) -> tuple[Characteristic, ...]:
    """Read what is gauged on a part, each with a key of its own."""
    read = tuple(read_characteristic(each, frame.bore, frame.stroke, renews, frame.source) for each in tables)
    for key in repeated([each.key for each in read if each.key]):
        table.refuse("characteristic", f"a key of its own for each; found “{key}” twice")
    return read


def _room(kind: PartKind, characteristics: tuple[Characteristic, ...], bore: Length) -> Room | None:
    """Give between which sizes a cylinder may be made to an oversize: by its own bore, else by the stage's."""
    if kind is not PartKind.CYLINDER:
        return None
    gauged = next(((each.base_size, each.possible_mm[1]) for each in characteristics if each.base_size), None)
    return Room(*(gauged or (bore, bore.mm * LARGEST_SHARE_OVERSIZE)))


def _of_kind(table: Table, part: Part) -> Part:
    """Read the keys that only a valve or only a ring has."""
    if part.kind is PartKind.VALVE:
        port = table.choice("port", tuple(Port)).value
        part = replace(part, port=port, construction=table.choice("construction", tuple(Construction)))
    else:
        table.only_for("only a valve", "port", "construction")
    if part.kind is PartKind.RING:
        return _with_joint(table, part)
    table.only_for("only a ring", "joint", "gap_gauged")
    return part


def _with_joint(table: Table, part: Part) -> Part:
    """Read how the ends of a ring meet; only a joint cut at an angle can be gauged square to its cut."""
    if table.has("joint"):
        part = replace(part, joint=table.choice("joint", tuple(Joint)).value)
    if part.joint != Joint.ANGLE:
        table.only_for("only a ring with an angle joint", "gap_gauged")
    elif table.has("gap_gauged"):
        part = replace(part, gap_gauged=table.choice("gap_gauged", tuple(GapGauged)).value)
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
