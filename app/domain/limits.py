"""Limit sheets: every limit of one machine type as data, each with the source it came from."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import cached_property

from app.domain.errors import LimitMissing
from app.domain.guard import Guard
from app.domain.numbers import Length
from app.domain.order_lines import AlwaysRenewed, OrderLine, Oversize
from app.domain.readings import SEEN, Place
from app.domain.running_limits import Proving, StageRunning
from app.domain.tasks import Task
from app.domain.tightening import CLOSING_NOT_SAID, Closing
from app.domain.units import LengthUnit
from app.domain.verdicts import Verdict


class Rule(StrEnum):
    """The decision rule that a sheet asks for."""

    SIMPLE = "simple"
    GUARDED = "guarded"


class Side(StrEnum):
    """Which way a limit bounds."""

    UPPER = "upper"
    LOWER = "lower"


class OnLimit(StrEnum):
    """What a reading exactly on the limit means."""

    MUST_NOT_BE_EXCEEDED = "must not be exceeded"  # On it passes.
    MUST_NOT_BE_REACHED = "must not be reached"  # On it fails.


class Measure(StrEnum):
    """What a limit compares; the bore's measures are worked out from its grid of diameters."""

    VALUE = "value"
    WEAR = "wear"
    OVALITY = "ovality"
    TAPER = "taper"
    OVERALL = "overall difference"


class Method(StrEnum):
    """What a characteristic is gauged with; it decides which kinds of entry the page offers."""

    FEELER = "feeler"
    BORE_GAUGE = "bore gauge"
    MICROMETER = "micrometer"
    DEPTH_GAUGE = "depth gauge"
    LEAD_WIRE = "lead wire"
    CALIPER = "caliper"


class PartKind(StrEnum):
    """Kinds of part that the trade treats differently."""

    VALVE = "valve"
    CYLINDER = "cylinder"
    RING = "ring"
    PISTON = "piston"
    PIN = "pin"
    OTHER = "other"


class Construction(StrEnum):
    """How a valve is built, which decides what may be done with it."""

    PLATE = "plate"
    REED = "reed"


@dataclass(frozen=True)
class NewRange:
    """The range within which a new part is made."""

    lower: Length
    upper: Length


@dataclass(frozen=True)
class Limit:
    """One limit: what it compares, which way, how far, and what follows when it is passed."""

    measure: Measure
    side: Side
    size: Length
    on_limit: OnLimit = OnLimit.MUST_NOT_BE_EXCEEDED
    outcome: Verdict = Verdict.RENEW
    renews: str = ""
    action: str = ""
    source: str = ""
    called: str = "limit"


@dataclass(frozen=True)
class Characteristic:
    """Something measurable on a part: where it is taken, with what, its new range and its limits."""

    key: str
    name: str
    method: Method
    unit: LengthUnit
    decimals: int
    levels: tuple[str, ...] = ("",)
    axes: tuple[str, ...] = ("",)
    new: NewRange | None = None
    limits: tuple[Limit, ...] = ()
    base_size: Length | None = None
    where: str = ""
    source: str = ""
    possible_mm: tuple[Decimal, Decimal] = (Decimal(0), Decimal(1000))
    between: tuple[str, str] | None = None  # outer and inner, "part.characteristic" of the stage
    is_read_in_both: bool = False  # whoever reads it put the other unit first, and its sentences give both

    @property
    def is_derived(self) -> bool:
        """Whether it is a clearance worked out from two gauged sizes, and never typed in."""
        return self.between is not None

    @cached_property
    def is_in_both(self) -> bool:
        """Whether sentences give each size in both units: it is read so, or the sheet prints a size of it so."""
        ends = [self.new.lower, self.new.upper] if self.new else []
        return self.is_read_in_both or any("=" in size.typed for size in (*ends, *(one.size for one in self.limits)))

    @property
    def is_grid(self) -> bool:
        """Whether diameters are taken at levels and axes, and the measures worked out from them."""
        return len(self.axes) > 1

    @cached_property
    def places(self) -> tuple[tuple[str, str], ...]:
        """Every (level, axis) that must be gauged, in the order of gauging; none of a clearance worked out."""
        return () if self.is_derived else tuple((level, axis) for level in self.levels for axis in self.axes)

    def limit(self, measure: Measure, side: Side = Side.UPPER) -> Limit:
        """Give the limit for a measure; LimitMissing when the sheet holds none."""
        for limit in self.limits:
            if limit.measure is measure and limit.side is side:
                return limit
        raise LimitMissing(f"the sheet holds no {side} limit for {self.name}, {measure}")


@dataclass(frozen=True)
class Part:
    """A part at its position in a stage, with its characteristics and what is ordered for it."""

    stage: int
    index: int
    key: str
    kind: PartKind
    name: str
    characteristics: tuple[Characteristic, ...] = ()
    orders: tuple[OrderLine, ...] = ()
    port: str = ""
    construction: Construction | None = None
    joint: str = ""
    gap_gauged: str = ""  # which way the gap of an angled joint is gauged; along the circumference where not said
    material: str = ""
    judge_again_after: tuple[str, ...] = ()
    working_temperature_c: Decimal | None = None
    renew_with: tuple[str, ...] = ()  # it is renewed whenever one of these is
    rework_before: tuple[str, ...] = ()  # its rework is done before these are reworked or fitted
    oversizes: tuple[Oversize, ...] = ()
    cylinder: int = 1  # 0 where it serves every cylinder of a stage of several

    @cached_property
    def ref(self) -> str:
        """The part's reference, the same in every revision: stage, then key."""
        return f"{self.stage}.{self.key}"

    @property
    def item(self) -> str:
        """The item number that drawing, tags, list and record share: 2-04."""
        return f"{self.stage}-{self.index:02d}"

    @cached_property
    def required(self) -> tuple[Place, ...]:
        """Every place that needs an entry: its condition by eye first, then each place of each characteristic."""
        gauged = (Place(self.ref, c.key, level, axis) for c in self.characteristics for level, axis in c.places)
        return (Place(self.ref, SEEN), *gauged)

    def characteristic(self, key: str) -> Characteristic | None:
        """Find a characteristic of this part."""
        return next((c for c in self.characteristics if c.key == key), None)


@dataclass(frozen=True)
class PartSet:
    """Parts that go together: one member over its limit renews them all."""

    stage: int
    key: str
    name: str
    members: tuple[str, ...]  # part references
    order: OrderLine | None = None

    @property
    def ref(self) -> str:
        """The set's reference."""
        return f"{self.stage}.{self.key}"


@dataclass(frozen=True)
class Stage:
    """One compression step with its parts in item order."""

    number: int
    bore: Length
    stroke: Length | None
    cylinders: int
    parts: tuple[Part, ...]
    sets: tuple[PartSet, ...] = ()
    running: StageRunning | None = None
    closing: Closing = CLOSING_NOT_SAID


@dataclass(frozen=True)
class InstrumentClass:
    """What is known of the instruments of one method; None where the sheet does not say."""

    method: Method
    resolution: Length | None = None
    permissible_error: Length | None = None
    repeatability: Length | None = None
    expansion_per_k: Decimal | None = None


@dataclass(frozen=True)
class LimitSheet:
    """The limits of one machine type at one revision."""

    name: str
    revision: str
    machine_type: str
    approver: str
    document: str
    page: str
    rule: Rule
    unit: LengthUnit
    stages: tuple[Stage, ...]
    always: tuple[AlwaysRenewed, ...] = ()
    leaves: tuple[Length, ...] = ()
    note: str = ""
    instruments: tuple[InstrumentClass, ...] = ()
    temperature_spread_k: Decimal = Decimal(0)
    is_corrected_to_20: bool = False
    guard: Guard = Guard.ISO_14253
    opening_interval_hours: Decimal | None = None
    proving: Proving | None = None
    tasks: tuple[Task, ...] = ()

    @property
    def title(self) -> str:
        """The sheet as reasons cite it."""
        return f"{self.name} rev {self.revision}"

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """Every part of every stage."""
        return tuple(part for stage in self.stages for part in stage.parts)

    @cached_property
    def leaves_mm(self) -> tuple[Decimal, ...]:
        """How thick each leaf of the feeler set is."""
        return tuple(leaf.mm for leaf in self.leaves)

    @cached_property
    def sets(self) -> tuple[PartSet, ...]:
        """Every set of every stage."""
        return tuple(part_set for stage in self.stages for part_set in stage.sets)

    def stage(self, number: int) -> Stage | None:
        """Find a stage by its number."""
        return next((stage for stage in self.stages if stage.number == number), None)

    def part(self, ref: str) -> Part | None:
        """Find a part by its reference."""
        return next((part for part in self.parts if part.ref == ref), None)

    def instrument(self, method: Method) -> InstrumentClass | None:
        """Find what is known of the instruments of a method."""
        return next((each for each in self.instruments if each.method is method), None)

    def set_of(self, ref: str) -> PartSet | None:
        """Find the set that a part belongs to."""
        return next((part_set for part_set in self.sets if ref in part_set.members), None)
