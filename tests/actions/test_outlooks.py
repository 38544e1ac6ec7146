"""Looking ahead from an opening: lives, advice, and the working that shows them."""

from dataclasses import replace
from datetime import UTC, timedelta
from decimal import Decimal

import pytest

from app.actions.fittings import enter_fitting
from app.actions.outlooks import advised, outlooks
from app.actions.overhauls import TypedDecision, decide, overhaul
from app.actions.working import working
from app.domain.errors import InputRefused
from app.domain.overhaul import Meaning
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.parts_list import chosen_oversize, parts_to_order
from app.domain.people import Role
from app.domain.readings import Occasion
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.actions.openings import LATER, an_opening
from tests.builders import (
    NOW,
    a_machine,
    a_person,
    a_reading,
    a_sheet,
    an_even_bore,
    an_overhaul,
    enter,
    fit,
    good_readings,
    sign_all,
)

WORN = a_reading("2.ring-1", "closed-gap", "0.70", level="worst place")
TAPERED = [
    a_reading("2.cylinder", "bore", size, level="top of ring travel", axis=axis)
    for size, axis in (("78.08", "along the pin"), ("78.09", "across the pin"))
]


def two_openings(book: Book, first: str, second: str) -> int:
    """A new ring set fitted at 2300 h with this gap, gauged again at 7300 h with that."""
    machine, sheet = a_machine(book), a_sheet(book)
    earlier = an_overhaul(book, machine, "2300", NOW, sheet, stages=(2,))
    enter(book, earlier, *good_readings(overhaul(book, earlier).parts, Occasion.AS_FOUND, NOW), WORN)
    fit(book, earlier, "2.ring-set", NOW)
    rings = tuple(part for part in overhaul(book, earlier).parts if part.key.startswith("ring"))
    enter(book, earlier, *good_readings(rings, Occasion.AS_FITTED, NOW))
    gap = a_reading("2.ring-1", "closed-gap", first, level="worst place", occasion=Occasion.AS_FITTED)
    enter(book, earlier, gap)
    sign_all(book, earlier, NOW)
    later = an_overhaul(book, machine, "7300", NOW + timedelta(days=300), sheet, stages=(2,))
    enter(book, later, *good_readings(overhaul(book, later).parts, Occasion.AS_FOUND, NOW))
    enter(book, later, a_reading("2.ring-1", "closed-gap", second, level="worst place"))
    return later


def test_a_gap_that_crosses_its_limit_before_the_next_opening_is_advised_for_renewal(book: Book):
    later = two_openings(book, "0.25", "0.50")

    found = advised(outlooks(book, overhaul(book, later)))

    # 0.25 mm in 5000 h; 0.15 mm are left, which is 3000 h, and the next opening is 5000 h ahead.
    assert found["2.ring-1"].limit_at_hours == 10300
    assert "0.75 mm expected at 12300 h" in found["2.ring-1"].words


def test_a_gap_that_lasts_is_not_advised(book: Book):
    later = two_openings(book, "0.25", "0.35")

    assert "2.ring-1" not in advised(outlooks(book, overhaul(book, later)))


def test_a_sheet_without_a_planned_opening_says_nothing(book: Book):
    found = overhaul(book, two_openings(book, "0.25", "0.50"))

    assert outlooks(book, replace(found, sheet=replace(found.sheet, opening_interval_hours=None))) == {}


def test_what_was_not_gauged_now_has_no_outlook(book: Book):
    number = an_overhaul(book, a_machine(book), "2300", NOW, a_sheet(book), stages=(2,))

    assert all(of_part == () for of_part in outlooks(book, overhaul(book, number)).values())


def test_the_working_begins_with_the_gap_as_fitted_and_ends_with_the_outlook(book: Book):
    found = overhaul(book, two_openings(book, "0.25", "0.50"))
    verdict = next(v for v in judge_overhaul(found) if v.part.ref == "2.ring-1")

    steps = working(book, found, verdict, Occasion.AS_FOUND)

    lines = [line for step in steps for line in step.lines]
    assert "Gap now − gap new (as fitted): 0.50 − 0.25 = 0.25 mm." in lines
    assert any(step.title == "Outlook: closed gap, worst place" for step in steps)


def test_a_part_as_fitted_has_a_working_without_outlook(book: Book):
    found = overhaul(book, two_openings(book, "0.25", "0.50"))
    verdict = next(v for v in judge_overhaul(found) if v.part.ref == "2.pin")

    steps = working(book, found, verdict, Occasion.AS_FITTED)

    assert not [step for step in steps if step.title.startswith("Outlook")]


def test_a_chosen_oversize_orders_its_rings_and_piston_in_place_of_the_standard_ones(book: Book):
    number = an_opening(book, WORN, *TAPERED)
    chief = a_person(book, "I. Brandreth", Role.CHIEF)
    typed = TypedDecision("2.cylinder", "rework", "Honed to the next size.", oversize="78.25")

    decide(book, chief, number, typed, UTC, LATER)

    found = overhaul(book, number)
    verdicts = judge_overhaul(found)
    cylinder = next(v for v in verdicts if v.part.ref == "2.cylinder")
    oversize = chosen_oversize(cylinder)
    assert oversize is not None
    assert oversize.size.mm == Decimal("78.25")
    numbers = [line.number for line in parts_to_order(found, verdicts)]
    assert {order.number for order in oversize.orders} <= set(numbers)
    assert "QM-31-230" not in numbers


@pytest.mark.parametrize(
    ("ref", "verdict", "oversize"),
    [
        ("2.cylinder", "rework", "79.00"),
        ("2.cylinder", "renew", "78.25"),
        ("2.piston", "rework", "78.25"),
    ],
)
def test_an_oversize_that_does_not_go_there_is_refused(book: Book, ref: str, verdict: str, oversize: str):
    number = an_opening(book, *TAPERED)
    chief = a_person(book, "I. Brandreth", Role.CHIEF)

    with pytest.raises(InputRefused) as refusal:
        decide(book, chief, number, TypedDecision(ref, verdict, "A reason of mine.", oversize=oversize), UTC, LATER)

    assert set(refusal.value.fields) == {"oversize"}


def test_a_suction_valve_is_never_entered_in_a_delivery_port(book: Book):
    number = an_opening(book, a_reading("2.delivery-valve", "seen", "body-cracked"), decided=True)
    fitter, part = a_person(book), overhaul(book, number).sheet.part("2.suction-valve")
    assert part is not None
    wrong = part.orders[-1].number

    with pytest.raises(InputRefused, match="dangerous pressure"):
        enter_fitting(book, fitter, number, "2.delivery-valve", {"number": wrong}, LATER)
    enter_fitting(book, fitter, number, "2.delivery-valve", {"number": "EX-0077", "batch": "serial 12"}, LATER)

    assert overhaul(book, number).fittings[0].number == "EX-0077"
    assert overhaul(book, number).signature(Meaning.DECIDED) is not None
    assert Verdict.RENEW in [v.verdict for v in judge_overhaul(overhaul(book, number))]


def two_gaugings_of_a_bore(book: Book, first: str, second: str, missing: bool = False) -> int:
    """Stage 2's bore at 78.00 mm, its largest diameter gauged at 2300 h and again at 7300 h."""
    machine, sheet = a_machine(book), a_sheet(book)
    earlier = an_overhaul(book, machine, "2300", NOW, sheet, stages=(2,))
    enter(book, earlier, *good_readings(overhaul(book, earlier).parts, Occasion.AS_FOUND, NOW))
    enter(book, earlier, *an_even_bore(overhaul(book, earlier).parts, first, NOW))
    sign_all(book, earlier, NOW)
    later = an_overhaul(book, machine, "7300", NOW + timedelta(days=300), sheet, stages=(2,))
    parts = overhaul(book, later).parts
    sound = [r for r in good_readings(parts, Occasion.AS_FOUND, NOW) if r.place.characteristic != "bore"]
    enter(book, later, *sound, *an_even_bore(parts, second, NOW)[1 if missing else 0 :])
    return later


def test_the_wear_of_a_bore_is_looked_at_ahead_too(book: Book):
    found = overhaul(book, two_gaugings_of_a_bore(book, "78.02", "78.06"))
    verdict = next(v for v in judge_overhaul(found) if v.part.ref == "2.cylinder")

    outlook = advised(outlooks(book, found))["2.cylinder"]
    steps = {step.title: step.lines for step in working(book, found, verdict, Occasion.AS_FOUND)}

    # 0.04 mm in 5000 h; 0.03 mm are left of the 0.09 allowed, which is 3750 h.
    assert verdict.verdict is Verdict.REUSE
    assert outlook.limit_at_hours == 11050
    assert outlook.words.startswith("Wear of the bore: 0.10 mm expected at 12300 h, limit 0.09 mm reached at 11050 h")
    assert "Readings of this life: 78.02 mm at 2300 h; 78.06 mm at 7300 h." in steps["Outlook: wear of the bore"]


def test_a_bore_whose_wear_lasts_is_not_advised(book: Book):
    assert "2.cylinder" not in advised(outlooks(book, overhaul(book, two_gaugings_of_a_bore(book, "78.02", "78.03"))))


def test_a_bore_with_a_missing_place_has_no_outlook_since_that_could_be_the_largest(book: Book):
    found = outlooks(book, overhaul(book, two_gaugings_of_a_bore(book, "78.02", "78.06", missing=True)))

    assert found["2.cylinder"] == ()
