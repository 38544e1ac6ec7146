"""What happened at Quillmoor, when, and to which machine; everything here is invented."""

from dataclasses import dataclass
from datetime import timedelta
from math import pi, sin

from app.demonstration.openings import Choice, Opening, Seen
from app.domain.overhaul import Phase
from app.domain.verdicts import Verdict

BEGAN_DAYS_AGO = 4600  # the book's first people and sheets
REVISION_C_DAYS_AGO = 1960
SITE = "Quillmoor pumped-storage station"
CHIEF = "I. Brandreth"
TEST_BED_HOURS = 6
SEASON_DAYS = 9


@dataclass(frozen=True)
class InventedMachine:
    """A machine as it comes into the book, and how many hours a day it runs."""

    tag: str
    serial: str
    name: str
    sheet_name: str
    days_ago: int
    hours_a_day: float

    def hours_at(self, days_ago: int) -> int:
        """Give the hours on the meter so many days ago; the machine runs more in one half of the year."""
        days = self.days_ago - days_ago
        return TEST_BED_HOURS + round(self.hours_a_day * (days + SEASON_DAYS * sin(2 * pi * days / 365)))


MACHINES = (
    InventedMachine("GA-1", "QM-0141", "Governor-air compressor 1", "QM-GA", 4595, 6.4),
    InventedMachine("GA-2", "QM-0142", "Governor-air compressor 2", "QM-GA", 4595, 5.3),
    InventedMachine("BA-1", "QM-0157", "Instrument-air compressor", "QM-BA", 4580, 7.0),
)

GOVERNOR_AIR_1 = (
    Opening("GA-1", 3890, seen={"1.suction-valve": Seen(("seat-marked",))}),
    Opening("GA-1", 3110, from_dial=True, seen={"3.delivery-valve": Seen(("reed-bent",))}),
    Opening(
        "GA-1",
        2330,
        chief="R. Osk",
        seen={
            "1.ring-2": Seen(("stuck",), "carbon packed in its groove"),
            "2.delivery-valve": Seen(("seat-marked",)),
        },
    ),
    Opening(
        "GA-1",
        1560,
        seen={
            "2.cylinder": Seen(("step",), "just felt with a finger nail, at the top"),
            "3.delivery-valve": Seen(("doubtful",), "a fine line across the reed, crack or scratch"),
        },
        choices=(
            Choice("3.delivery-valve", Verdict.RENEW, "The line shows on both sides of the reed. It is renewed."),
        ),
    ),
    Opening(
        "GA-1",
        790,
        from_dial=True,
        seen={
            "1.delivery-valve": Seen(("seat-marked",)),
            "2.piston": Seen(("doubtful",), "bright band on the skirt, pin side"),
        },
        choices=(
            Choice("2.piston", Verdict.REUSE, "Looked at together: polished, not scuffed, and the skirt is full size."),
        ),
    ),
    Opening(
        "GA-1",
        3,
        working_days_ago=2,
        seen={"1.suction-valve": Seen(("seat-marked",))},
        cannot={("2.bush", "diameter"): "Bush end is upset; the bore gauge does not enter. Rod goes to the bench."},
        coarse=frozenset({"1.ring-1", "2.ring-3"}),
        stops_in=Phase.GAUGE,
        leaves_out=frozenset({("2.pin", "diameter")}),
        leaves_stages=(3,),
        slip="1.cylinder",
    ),
)

GOVERNOR_AIR_2 = (
    Opening("GA-2", 3680, seen={"1.piston": Seen(("lightly-scuffed",), "two marks, thrust side")}),
    Opening(
        "GA-2",
        2760,
        seen={"1.delivery-valve": Seen(("seat-marked",))},
        cannot={("3.pin", "diameter"): "Pin is fast in the piston and was pressed out with damage."},
        choices=(Choice("3.pin", Verdict.RENEW, "Damaged in pressing out. A new pin goes in."),),
    ),
    Opening(
        "GA-2",
        1850,
        chief="R. Osk",
        seen={"2.ring-2": Seen(("stuck",), "free again after soaking, marked on its face")},
    ),
    Opening(
        "GA-2",
        930,
        from_dial=True,
        seen={
            "3.suction-valve": Seen(("reed-cracked",), "a third of the reed loose, all of it found"),
            "2.suction-valve": Seen(("seat-marked",)),
        },
    ),
    Opening(
        "GA-2",
        6,
        working_days_ago=4,
        seen={
            "1.suction-valve": Seen(("seat-marked",)),
            "2.delivery-valve": Seen(("plate-cracked",), "one piece of 12 mm missing from the plate"),
        },
        cannot={("1.bush", "diameter"): "The bore gauge's centring foot is bent; another set is on its way."},
        coarse=frozenset({"3.ring-1"}),
        stops_in=Phase.DECIDE,
    ),
)

INSTRUMENT_AIR = (
    Opening("BA-1", 3800, seen={"1.delivery-valve": Seen(("seat-marked",))}),
    Opening(
        "BA-1",
        2980,
        choices=(
            Choice(
                "2.delivery-valve",
                Verdict.REUSE,
                "No valve in store. The lift is just over, seat and plate are sound; opened again when it is here.",
                term_hours=2000,
                term=timedelta(days=240),
            ),
        ),
    ),
    Opening("BA-1", 2830, what="valves", chief="R. Osk", seen={"1.suction-valve": Seen(("spring-tired",))}),
    Opening("BA-1", 1750, seen={"1.suction-valve": Seen(("seat-marked",))}),
    Opening("BA-1", 620, from_dial=True, seen={"2.suction-valve": Seen(("plate-marked",), "ring of wear, half way")}),
)

OPENINGS = GOVERNOR_AIR_1 + GOVERNOR_AIR_2 + INSTRUMENT_AIR
