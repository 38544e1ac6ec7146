"""What the forms of a limit sheet in the making ask of each table of its file: every key, in plain words."""

from dataclasses import dataclass
from enum import StrEnum

from app.domain.draft_values import Values, key_of
from app.domain.guard import Guard
from app.domain.joints import GapGauged
from app.domain.limits import Method
from app.domain.running_limits import PressureUnit
from app.domain.sheet_closing import Opened
from app.domain.sheet_judging import Temperature
from app.domain.sheet_orders import MADE_OVERSIZE
from app.domain.tasks import Caution, ItemKind, Opens
from app.domain.tightening import STEPS_PERCENT, Thread, TorqueUnit

Options = tuple[tuple[str, str], ...]
NOT_CHOSEN = ("", "choose")


class How(StrEnum):
    """How a key is typed."""

    TEXT = "text"
    NOTE = "note"
    NUMBER = "number"
    LIST = "list"
    NUMBERS = "numbers"
    RANGE = "range"
    CHOICE = "choice"
    TICKS = "ticks"


@dataclass(frozen=True)
class Asked:
    """One key as a form asks for it; `only` names the kinds of thing that have it, rare ones are folded away."""

    key: str
    label: str
    how: How = How.TEXT
    hint: str = ""
    unit: str = ""
    options: Options = ()
    default: str = ""
    unsaid: str = ""  # what a file means that says nothing, where a form asks all the same
    only: tuple[str, ...] = ()
    is_needed: bool = False
    is_rare: bool = False

    def belongs(self, values: Values, kind: str) -> bool:
        """Whether a form shows it: where its kind has it, and wherever it stands so that it can be taken out."""
        return not self.only or kind in self.only or self.key in values


@dataclass(frozen=True)
class Listed:
    """A list of short tables on one form; those with keys of their own are given one from their name."""

    key: str
    one: str  # what one of them is called
    asked: tuple[Asked, ...]
    has_key: bool = False
    within: tuple["Listed", ...] = ()
    note: str = ""

    def name_of(self, values: Values) -> str:
        """Give the name by which a form knows one."""
        return key_of(values) if self.has_key else ""


def _words(*options: str) -> Options:
    """Give options whose value is their wording."""
    return tuple((str(option), str(option)) for option in options)


NAME = Asked("name", "Name", is_needed=True)
SOURCE = Asked("source", "Source", hint="Where it stands in print.", is_rare=True)
COMMAS = "Commas between; semicolons where one has a comma."

TASK = (
    NAME,
    Asked("interval", "Every", How.NUMBER, "Operating hours from one time to the next.", "h"),
    Asked("months", "At the latest after", How.NUMBER, "The calendar cap, whatever the hours.", "months"),
    Asked("first", "First after", How.NUMBER, "After start-up and after an overhaul.", "h"),
    Asked("opens", "It opens", How.CHOICE, "What opens nothing is recorded by itself.", options=(
        (Opens.NOTHING, "nothing"), (Opens.VALVES, "the valves"), (Opens.RINGS, "valves and rings")),
        default=Opens.NOTHING),
    Asked("stage", "Of one stage", How.NUMBER, "Empty for the whole machine.", is_rare=True),
    Asked("cautions", "What can hurt", How.TICKS, options=_words(*Caution)),
    Asked("how", "How it is done", How.NOTE),
    SOURCE,
)  # fmt: skip
FIGURES = (ItemKind.READING, ItemKind.AMOUNT)
ITEM = (
    Asked("name", "What is recorded", is_needed=True),
    Asked("kind", "It is", How.CHOICE, options=(
        (ItemKind.CHECK, "a check: one of a few words"), (ItemKind.READING, "a reading, with limits"),
        (ItemKind.AMOUNT, "an amount used up"), (ItemKind.GRADE, "a grade filled in")), default=ItemKind.CHECK),
    Asked("good", "In order, in these words", How.LIST, COMMAS, default="in order", only=(ItemKind.CHECK,)),
    Asked("faults", "Not in order, in these words", How.LIST, COMMAS, only=(ItemKind.CHECK,)),
    Asked("unit", "Unit", hint="Such as bar, °C, l.", only=FIGURES),
    Asked("lower", "At least", How.NUMBER, only=(ItemKind.READING,)),
    Asked("upper", "At most", How.NUMBER, only=(ItemKind.READING,)),
    Asked("grades", "Allowed grades", How.LIST, COMMAS, only=(ItemKind.GRADE,), is_needed=True),
    Asked("hint", "A word of help", is_rare=True),
)  # fmt: skip
ITEMS = Listed("item", "thing to record", ITEM, has_key=True)

JOINT = (
    Asked("name", "Joint", hint="Such as Cylinder head, or Valve covers.", is_needed=True),
    Asked("nuts", "Nuts", How.NUMBER, is_needed=True),
    Asked("torque", "Final torque", How.NUMBER, is_needed=True),
    Asked("torque_unit", "Its unit", How.CHOICE, options=(NOT_CHOSEN, *_words(*TorqueUnit)),
          unsaid="N.m, as nothing is said", is_needed=True),
    Asked("thread", "Thread", How.CHOICE, options=(NOT_CHOSEN, *_words(*Thread)), is_needed=True),
    Asked("when", "Closed again at", How.CHOICE, options=(
        (Opened.ANY, "any opening"), (Opened.RINGS, "openings with rings")), default=Opened.ANY),
    Asked("steps", "Steps, per cent", How.NUMBERS, default=", ".join(map(str, STEPS_PERCENT)), is_rare=True),
)  # fmt: skip
JOINTS = Listed("joint", "joint", JOINT, has_key=True)
STAGGER = (Asked("stagger", "Where each ring’s gap stands", How.NUMBERS,
    "Degrees from the top ring down. Empty: evenly; of four, neighbours opposite.", "°"),)  # fmt: skip
RUNNING = (
    Asked("gauge", "Gauge at working pressure", How.RANGE),
    Asked("delivery_temperature", "Highest delivery temperature", How.NUMBER),
    Asked("clearance", "Clearance over swept volume", How.NUMBER, "For the estimate of pressures alone, such as 0.05."),
)
PROVING = (
    Asked("pressure_unit", "Unit of pressures", How.CHOICE, "Gauges, not absolute. psi goes with °F, ft³ and cfm.",
          options=(NOT_CHOSEN, *_words(*PressureUnit)), unsaid="bar, as nothing is said", is_needed=True),
    Asked("speed", "Rated speed", How.NUMBER, unit="1/min"),
    Asked("free_air", "Rated free air", How.NUMBER, "m³/min, or cfm with psi."),
    Asked("least_free_air", "Of it at least", How.NUMBER, "A share, such as 0.9; also of the machine’s baseline."),
    Asked("oil_pressure", "Oil pressure", How.RANGE),
    Asked("oil_within", "It stands within", How.NUMBER, unit="s"),
    Asked("volume", "Receiver and pipes, shut off", How.NUMBER, "m³, or ft³ with psi."),
)  # fmt: skip
JUDGING = (
    Asked("temperature", "Sizes are judged", How.CHOICE, options=_words(*Temperature), default=Temperature.AS_READ),
    Asked("temperature_spread", "A part may be off 20 °C by", How.NUMBER, "Where no temperature is recorded.", "K"),
    Asked("guard", "Width of the guard", How.CHOICE, "Only with the guarded rule.",
          options=(("", "not said"), *_words(*Guard))),
)  # fmt: skip
INSTRUMENT = (
    Asked("method", "Method", How.CHOICE, options=(NOT_CHOSEN, *_words(*Method)), is_needed=True),
    Asked("resolution", "Resolution", How.NUMBER, "The step of the last digit."),
    Asked("permissible_error", "Permissible error", How.NUMBER, "Plus or minus, of one in order."),
    Asked("repeatability", "Repeatability", How.NUMBER, "Of one reading repeated.", is_rare=True),
    Asked("expansion", "Expansion", How.NUMBER, "Such as 11.5e-6.", "1/K", is_rare=True),
)
INSTRUMENTS = Listed("instrument", "instrument", INSTRUMENT)

ORDER = (
    Asked("name", "Name in the parts list", is_needed=True),
    Asked("number", "Part number", is_needed=True),
    Asked("quantity", "Quantity", How.NUMBER, is_rare=True),
    Asked("kit", "Kit it comes in", is_rare=True),
    Asked("delivery_days", "Days to deliver", How.NUMBER, is_rare=True),
)
RENEWS = Asked("renews", "What is renewed", hint="Empty for what is usual of its kind.", is_rare=True)
MADE = Asked("renews", "What is made for it", How.CHOICE, options=(NOT_CHOSEN, *_words(*MADE_OVERSIZE)), is_needed=True)
ORDERS = Listed("order", "part to order", (*ORDER, RENEWS))
OVERSIZES = Listed("oversize", "oversize", (Asked("size", "The bore is made to", How.NUMBER, is_needed=True),),
                   within=(Listed("order", "part made for it", (MADE, *ORDER)),))  # fmt: skip
ALWAYS = Listed("always", "line", (
    Asked("name", "Name", is_needed=True),
    Asked("number", "Part number", is_needed=True),
    Asked("quantity", "Quantity", How.NUMBER, "Empty for one."),
    Asked("stage", "Stage", How.NUMBER, "Empty for the whole machine."),
    Asked("when", "At", How.CHOICE, options=(
        (Opened.ANY, "any opening"), (Opened.RINGS, "openings with rings")), default=Opened.ANY),
    *ORDER[3:],
))  # fmt: skip
PART_MORE = (
    Asked("cylinder", "On one cylinder", How.NUMBER, "Empty for every one."),
    Asked("working_temperature", "Temperature at work", How.NUMBER, "For a ring’s gap when hot.", "°C"),
    Asked("gap_gauged", "How the gap is gauged", How.CHOICE, "Of an angle joint.",
          options=(("", "not said"), *_words(*GapGauged)), only=("ring",)),
)  # fmt: skip
GAUGED_MORE = (
    Asked("decimals", "Decimals shown", How.NUMBER, "Empty for those of its sizes."),
    Asked("base", "Base size", How.NUMBER, "That wear counts from; empty for the bore."),
    Asked("possible", "A reading can be", How.RANGE, "Anything else is a slip. Empty: worked out."),
)
