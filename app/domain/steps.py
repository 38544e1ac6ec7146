"""The steps of make safe, box up and prove, in the order of the work, as a page lists and a person confirms them."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain.limits import PartKind, Stage
from app.domain.overhaul import Confirmation, Overhaul, Phase
from app.domain.tightening import Joint, stagger_degrees


@dataclass(frozen=True)
class Step:
    """One step to confirm; `asks` names the value it needs, nothing where a name and a time are enough."""

    key: str
    words: str
    asks: str = ""
    hint: str = ""
    joint: Joint | None = None  # drawn beside it: the nuts in their order
    stagger_degrees: tuple[Decimal, ...] = ()  # drawn beside it: where the gaps stand


AGAIN = "again"  # not a step of the list: that it is still safe, at a hand-over or after a long stop
STANDBY = (Step("standby", "Opened though the site never opens it together with another that is open", "Reason", "-"),)
ISOLATED = (
    Step("permit", "Permit to work issued by the site", "Permit number", "118"),
    Step("locks", "Supply stopped, isolated, locked and tagged; proved dead at the terminals", "Lock number", "L-14"),
    Step(
        "sources",
        "Delivery and every other source of pressure shut and tagged; remote, automatic start and heaters off",
    ),
)
VENTED = (
    Step("vented", "Every stage, cooler and receiver vented; drains left open"),
    Step("eased", "Covers eased with the nuts still on: no pressure behind them"),
    Step("cooled", "Machine cooled: hot oil mist and fresh air can ignite"),
    Step("flywheel", "Flywheel blocked before hands go near a piston"),
)


def make_safe_steps(overhaul: Overhaul) -> tuple[Step, ...]:
    """List what makes the machine safe: permit, locks, every gauge, covers eased, cooled, flywheel blocked."""
    gauges = tuple(
        Step(f"gauge-{stage.number}", f"Stage {stage.number} gauge read after venting", "Gauge reads", "0.0 bar")
        for stage in overhaul.sheet.stages
    )
    return (
        *(STANDBY if overhaul.confirmation(Phase.MAKE_SAFE, STANDBY[0].key) else ()),
        *ISOLATED,
        *gauges,
        *VENTED,
        *(Step(f"site-{number}", line) for number, line in enumerate(overhaul.site_lines, start=1)),
    )


def box_up_steps(overhaul: Overhaul) -> tuple[Step, ...]:
    """List closing the machine in the order of the trade; with valves only, the running gear stays shut."""
    by_stage = all(stage.closing.joints for stage in overhaul.stages)
    covers = (SET_SCREWS, *_joints(overhaul, rings_only=False)) if by_stage else (COVERS,)
    if not overhaul.scope.has_rings:
        return *CLEAN, *VALVES, *covers, *HAND_BACK
    rings = tuple(_rings(stage) for stage in overhaul.stages) if by_stage else (RINGS,)
    heads = _joints(overhaul, rings_only=True) if by_stage else (HEADS,)
    bumping = tuple(_bumping(stage) for stage in overhaul.stages) if by_stage else (BUMPING,)
    running_gear = (RODS, *rings, FIRST_TURN)
    return *CLEAN, *running_gear, *VALVES, *covers, *heads, *bumping, *AFTER_TORQUE, *HAND_BACK


def _rings(stage: Stage) -> Step:
    """The rings of one stage going in, with where their gaps stand."""
    count = sum(part.kind is PartKind.RING for part in stage.parts) // stage.cylinders or 1
    angles = stage.closing.stagger_degrees or tuple(map(Decimal, stagger_degrees(count)))
    words = f"Stage {stage.number}: rings in their own grooves, own way up, gaps staggered; bore and piston oiled"
    return Step(f"rings-{stage.number}", words, stagger_degrees=angles)


def _joints(overhaul: Overhaul, *, rings_only: bool) -> tuple[Step, ...]:
    """Every joint of the stages that were opened, each once, with its nuts in their order."""
    return tuple(
        Step(
            f"joint-{stage.number}-{joint.key}",
            f"Stage {stage.number} {joint.name.lower()}: {joint.words}",
            "Wrench",
            "W-02",
            joint=joint,
        )
        for stage in overhaul.stages
        for joint in stage.closing.joints
        if joint.rings_only is rings_only
    )


def _bumping(stage: Stage) -> Step:
    """The bumping clearance of one stage."""
    words = f"Stage {stage.number}: bumping clearance taken with lead wire after the final torque"
    return Step(f"bumping-{stage.number}", words, "Clearance", "0.9 mm")


CLEAN = (
    Step("pieces", "Every piece of a broken part accounted for: valve, cylinder, cooler, next stage"),
    Step("clean", "Passages clean, carbon removed, tools and rags counted"),
)
VALVES = (
    Step("gaskets", "New gaskets, copper rings and O-rings fitted; none used twice"),
    Step("ports", "Each valve in its own place: suction in suction, delivery in delivery, checked port by port"),
)
COVERS = Step(
    "covers", "Cover set-screws backed off, covers torqued in steps and crosswise", "Torque, wrench", "75 N.m, W-02"
)
SET_SCREWS = Step("set-screws", "Every cover's set-screw backed off before its cover is torqued")
RODS = Step("rods", "Rod bolts tightened as the maker says, new locking devices fitted")
RINGS = Step("rings", "Rings in their own grooves, own way up, gaps staggered as the sheet says; bore and piston oiled")
FIRST_TURN = Step(
    "first-turn", "Cylinder in its marks, hand-tight; flywheel block out, one full turn by hand, block in; final torque"
)
HEADS = Step("heads", "Heads tightened in steps and crosswise to the final torque", "Torque, wrench", "75 N.m, W-02")
BUMPING = Step("bumping", "Bumping clearance taken with lead wire after the final torque", "Clearance", "0.9 mm")
AFTER_TORQUE = (
    Step("second-turn", "Second full turn by hand after the final torque; flywheel block out, then back"),
    Step("oil", "Oil filled and primed", "Oil", "grade and litres"),
)
HAND_BACK = (
    Step("guards", "Hand back: guards on, flywheel block out, people clear"),
    Step("unlocked", "Blanks and locks taken off by those who put them on; permit handed back", "Permit number", "118"),
    Step("delivery", "Delivery stop open, safety valves free: the machine never starts against a shut valve"),
)


def prove_steps(overhaul: Overhaul) -> tuple[Step, ...]:
    """List the running test; the gauges are a run of their own where the sheet says what they are held to."""
    gauges = (
        ()
        if overhaul.sheet.proving
        else tuple(
            Step(
                f"run-{stage.number}",
                f"Stage {stage.number} pressure and delivery temperature, steady",
                "Reads",
                "2.9 bar, 138 °C",
            )
            for stage in overhaul.sheet.stages
        )
    )
    return (*STARTED, *gauges, *RUNNING)


STARTED = (
    Step("rotation", "Direction of rotation right on a short start"),
    Step("oil-pressure", "Oil pressure within seconds; stopped at once without it", "Oil pressure", "2.4 bar"),
    Step("unloading", "Starts unloaded; drains open and close in time"),
)
RUNNING = (
    Step("leaks", "No leak at any joint, listened for and soaped"),
    Step("protections", "Every protection proved by tripping it, safety valves included", "Trips at", "each device"),
    Step("load", "Run on load without abnormal noise, heat or rise of any delivery temperature", "Minutes run", "60"),
)
SAME_FOR_ALL = (
    *(*STANDBY, *ISOLATED, *VENTED, *CLEAN, *VALVES, COVERS, SET_SCREWS, RODS, RINGS, FIRST_TURN, HEADS, BUMPING),
    *(*AFTER_TORQUE, *HAND_BACK, *STARTED, *RUNNING),
)
WORDS = {step.key: step.words for step in SAME_FOR_ALL}


def step_words(key: str) -> str:
    """Put the key of a step into words without its overhaul; one that is made for a machine goes by its key.

    >>> step_words("vented"), step_words("gauge-2")
    ('Every stage, cooler and receiver vented; drains left open', 'gauge 2')
    """
    return WORDS.get(key, key.replace("-", " "))


def steps_of(overhaul: Overhaul, phase: Phase) -> tuple[Step, ...]:
    """Give the steps of a phase; gauge and decide have none."""
    lists = {Phase.MAKE_SAFE: make_safe_steps, Phase.BOX_UP: box_up_steps, Phase.PROVE: prove_steps}
    return lists[phase](overhaul) if phase in lists else ()


def open_steps(overhaul: Overhaul, phase: Phase) -> tuple[Step, ...]:
    """The steps of a phase not confirmed yet, in order."""
    known = overhaul.open_by_phase
    if phase not in known:
        steps = steps_of(overhaul, phase)
        known[phase] = tuple(step for step in steps if overhaul.confirmation(phase, step.key) is None)
    return known[phase]


def made_safe(overhaul: Overhaul) -> Confirmation | None:
    """The confirmation that completed making safe, or None while it is not complete."""
    if open_steps(overhaul, Phase.MAKE_SAFE):
        return None
    made = [c for c in overhaul.confirmations if c.phase is Phase.MAKE_SAFE and c.step != AGAIN]
    return max(made, key=lambda c: c.at)


def permit(overhaul: Overhaul) -> str:
    """The permit number the machine was made safe under."""
    confirmed = overhaul.confirmation(Phase.MAKE_SAFE, "permit")
    return confirmed.value if confirmed else ""
