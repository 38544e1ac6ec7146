"""What is judged again with one more entry: the part, and what a clearance joins to it; everything else stands."""

from app.domain.holds import fitted_work, work_on
from app.domain.overhaul_verdicts import judge_overhaul, untouched_by
from app.domain.readings import Occasion
from tests.builders import a_reading, good_readings
from tests.domain.builders import NOW, an_overhaul, entered, ring_gap, the_sheet


def a_whole_machine():
    """Stage 2 of the sample sheet, gauged as new."""
    bare = an_overhaul(sheet=the_sheet("qm-ga.toml"))
    return entered(bare, *good_readings(bare.parts, Occasion.AS_FOUND, NOW))


def test_an_entry_touches_its_part_and_the_part_whose_clearance_is_worked_out_from_it():
    overhaul = a_whole_machine()

    known = untouched_by(overhaul, "2.bush")

    assert {part.ref for part in overhaul.parts} - known.keys() == {"2.bush", "2.pin"}


def test_what_stands_need_not_be_judged_again():
    overhaul = a_whole_machine()
    known = untouched_by(overhaul, "2.ring-1")
    later = entered(overhaul, ring_gap(1, "0.70"))

    assert judge_overhaul(later, known) == judge_overhaul(later)


def test_one_part_is_judged_as_fitted_like_all_of_them():
    overhaul = entered(a_whole_machine(), a_reading("2.suction-valve", "lift", "1.95"))
    (work,) = [one for one in fitted_work(overhaul) if one.part.ref == "2.suction-valve"]

    assert work_on(overhaul, work.found) == work
