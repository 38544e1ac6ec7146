"""The tasks of a machine type: how often each is due, whether it opens the machine, and what is recorded with it."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Opens(StrEnum):
    """What a task opens; a task that opens the machine is done by an overhaul, any other by itself."""

    NOTHING = "nothing"
    VALVES = "valves"
    RINGS = "rings"


class ItemKind(StrEnum):
    """What one item of a task records."""

    CHECK = "check"  # something looked at or done: one of a few words
    READING = "reading"  # a figure, with limits where there are any
    AMOUNT = "amount"  # what was used up
    GRADE = "grade"  # what was filled in; another than the sheet allows needs a reason


class Caution(StrEnum):
    """What can hurt at a task; its words stand in CAUTION_WORDS."""

    ISOLATE = "isolate"
    PRESSURE = "pressure"
    HOT = "hot"
    LIGHT_OIL = "light oil"
    RUNNING = "running"
    LIVE = "live"
    SHUT_DELIVERY = "shut delivery"


# Isolation, pressure, heat, light oil and shut delivery after 29 CFR 1910.147, 30 CFR 77.412 and NAVEDTRA 14076;
# running and live are common practice, no source.
CAUTION_WORDS = {
    Caution.ISOLATE: "Stop, isolate, lock and tag the supply so that it cannot start, and prove it dead. Remote and "
    "automatic start, control and heater supplies are separate sources.",
    Caution.PRESSURE: "Relieve all pressure, every stage, cooler and receiver, and keep the drain open. A gauge at "
    "zero is no proof: ease joints with the nuts still on. Air jets cut: eyes, hearing, no air on skin.",
    Caution.HOT: "Let it cool: hot oil mist and fresh air can ignite. After a hot trip wait before opening anything.",
    Caution.LIGHT_OIL: "No petrol, paraffin or other light oil on the air side: fumes under compression explode.",
    Caution.RUNNING: "It runs while you look: guards stay on, hands, sleeves and rags stay away.",
    Caution.LIVE: "A circuit is live until it is proved dead. Only those authorised for it open one.",
    Caution.SHUT_DELIVERY: "Never run against a shut delivery. Stop at once on an abnormal rise of any delivery "
    "temperature, or without oil pressure.",
}


@dataclass(frozen=True)
class TaskItem:
    """One thing that is recorded with a task."""

    key: str
    name: str
    kind: ItemKind
    good: tuple[str, ...] = ()  # of a check: the words for in order
    faults: tuple[str, ...] = ()  # of a check: the words for not in order
    unit: str = ""
    lower: Decimal | None = None
    upper: Decimal | None = None
    grades: tuple[str, ...] = ()
    hint: str = ""

    @property
    def limits_words(self) -> str:
        """The limits of a reading as pages say them."""
        unit = f" {self.unit}" if self.unit else ""
        if self.lower is not None and self.upper is not None:
            return f"{self.lower} to {self.upper}{unit}"
        ends = (("at least", self.lower), ("at most", self.upper))
        return "".join(f"{words} {end}{unit}" for words, end in ends if end is not None)


@dataclass(frozen=True)
class Task:
    """One task with its interval in operating hours, its calendar cap, and its first check."""

    key: str
    name: str
    interval_hours: Decimal | None = None
    months: int | None = None
    first_hours: Decimal | None = None  # after start-up, and after an overhaul
    opens: Opens = Opens.NOTHING
    stage: int | None = None  # the stage it belongs to; None for the whole machine
    how: str = ""
    source: str = ""
    cautions: tuple[Caution, ...] = ()
    items: tuple[TaskItem, ...] = ()

    @property
    def opens_machine(self) -> bool:
        """Whether the machine must be opened for it."""
        return self.opens is not Opens.NOTHING
