"""How a stage is closed, as a limit sheet's file says it: its joints, and where the ring gaps stand."""

import json
from collections.abc import Iterator
from decimal import Decimal
from enum import StrEnum

from app.domain.sheet_table import Table, repeated
from app.domain.tightening import FULL_TURN_DEGREES, STEPS_PERCENT, Closing, Joint, Thread, TorqueUnit

MOST_JOINTS, FEWEST_NUTS, MOST_NUTS = 12, 2, 48
TORQUES = (Decimal(1), Decimal(20_000))
PERCENTS = (Decimal(1), Decimal(100))
ANGLES = (Decimal(0), Decimal(FULL_TURN_DEGREES - 1))
MOST_RINGS = 12


class Opened(StrEnum):
    """At which openings a joint is closed again."""

    ANY = "any opening"
    RINGS = "rings"


def read_closing(stage: Table) -> Closing:
    """Read the joints of a stage, each with a key of its own, and the stagger of its rings."""
    joints = tuple(_joint(table) for table in stage.tables("joint", MOST_JOINTS))
    for key in repeated([joint.key for joint in joints if joint.key]):
        stage.refuse("joint", f"a key of its own for each; found “{key}” twice")
    return Closing(joints, _stagger(stage))


def _stagger(stage: Table) -> tuple[Decimal, ...]:
    """Read where the gaps stand, ring by ring."""
    written = stage.values.get("stagger")
    count = len(written) if isinstance(written, list) and 0 < len(written) <= MOST_RINGS else 1
    return stage.numbers("stagger", count, ANGLES, "where each ring's gap stands, in degrees")


def _joint(table: Table) -> Joint:
    """Read one joint."""
    joint = Joint(
        key=table.key(),
        name=table.text("name"),
        nuts=table.whole("nuts", FEWEST_NUTS, MOST_NUTS),
        torque=_torque(table),
        unit=table.choice("torque_unit", tuple(TorqueUnit), TorqueUnit.NEWTON_METRE),
        thread=table.choice("thread", tuple(Thread)),
        rings_only=table.choice("when", tuple(Opened), Opened.ANY) is Opened.RINGS,
        steps_percent=_steps(table),
    )
    table.close()
    return joint


def _torque(table: Table) -> Decimal:
    """Read the torque, which a joint needs."""
    if not table.has("torque"):
        table.refuse("torque", "this key, which is missing")
        return Decimal(1)
    return table.number("torque", TORQUES, "a torque") or Decimal(1)


def _steps(table: Table) -> tuple[int, ...]:
    """Read the steps in per cent, rising to 100."""
    written = table.values.get("steps")
    count = len(written) if isinstance(written, list) and 0 < len(written) <= 5 else 3
    read = table.numbers("steps", count, PERCENTS, "the steps in per cent")
    if read and (list(read) != sorted(set(read)) or read[-1] != 100):
        table.refuse("steps", "per cents that rise to 100, such as [30, 60, 100]")
    return tuple(int(percent) for percent in read) or STEPS_PERCENT


def write_closing(closing: Closing) -> Iterator[str]:
    """Write where the gaps stand; it comes among the stage's own keys."""
    if closing.stagger_degrees:
        yield f"stagger = [{', '.join(f'{angle:f}' for angle in closing.stagger_degrees)}]"


def write_joints(closing: Closing) -> Iterator[str]:
    """Write the joints, each a table."""
    for joint in closing.joints:
        name = json.dumps(joint.name, ensure_ascii=False)
        yield from ("", "[[stage.joint]]", f'key = "{joint.key}"', f"name = {name}", f"nuts = {joint.nuts}")
        yield f"torque = {joint.torque:f}"
        yield f'torque_unit = "{joint.unit}"'
        yield f'thread = "{joint.thread}"'
        yield f'when = "{Opened.RINGS if joint.rings_only else Opened.ANY}"'
        yield f"steps = [{', '.join(map(str, joint.steps_percent))}]"
