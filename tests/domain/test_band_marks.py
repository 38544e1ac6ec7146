"""Where what is said of a place may turn: limits, leaves about them, and the readings it is compared with."""

from dataclasses import replace
from decimal import Decimal

from app.domain.band_marks import clearance_marks_mm, grid_marks_mm, leaf_marks_mm, value_marks_mm
from app.domain.bands import Said
from app.domain.clearance_verdicts import Mate
from app.domain.leaf_bands import NONE, find_leaf_bands
from app.domain.limits import Measure, Rule
from app.domain.measured import Gauging
from app.domain.numbers import millimetres
from app.domain.terms import Terms
from app.domain.verdicts import Verdict
from tests.builders import a_reading
from tests.domain.builders import BORE_AXES, BORE_LEVELS, a_part, an_upper, bore_readings, the_sheet

CELL = (BORE_LEVELS[2], BORE_AXES[1])


def mm(*sizes: str) -> set[Decimal]:
    """Sizes in millimetres."""
    return {Decimal(size) for size in sizes}


def bore_terms(*measures: Measure, base: str = "78.00") -> Terms:
    """A bore with a limit of 0.10 for each of these measures."""
    part = a_part("2.cylinder")
    limits = tuple(an_upper("0.10", measure) for measure in measures)
    return Terms(the_sheet(), part, part.characteristic("bore"), limits, millimetres(base) if base else None)


def bore_marks(diameters: str, terms: Terms) -> set[Decimal]:
    """Where the last cell of a bore turns beside these diameters."""
    entries = {(r.place.level, r.place.axis): r for r in bore_readings("2.cylinder", diameters)}
    return set(grid_marks_mm(terms, entries, CELL))


def gap_terms(rule: Rule = Rule.SIMPLE) -> Terms:
    """A closed gap of at most 0.65."""
    part = a_part("2.ring-1")
    sheet = replace(the_sheet(), rule=rule)
    return Terms(sheet, part, part.characteristic("closed-gap"), (an_upper("0.65"), an_upper("0.05", Measure.WEAR)))


def a_mate(ref: str, key: str, *sizes: str) -> Mate:
    """One size of a clearance as gauged."""
    part = a_part(ref)
    readings = tuple(a_reading(ref, key, size) for size in sizes)
    return Mate(Gauging(the_sheet(), part, part.characteristic(key)), readings, True)


def test_a_value_turns_at_the_limits_it_is_held_against_itself():
    assert value_marks_mm(gap_terms(), "worst place") == [Decimal("0.65")]


def test_wear_turns_a_limit_above_the_base_size():
    assert bore_marks("", bore_terms(Measure.WEAR)) == mm("78.10")


def test_wear_without_a_base_size_turns_nowhere():
    assert bore_marks("", bore_terms(Measure.WEAR, base="")) == set()


def test_ovality_turns_about_the_other_diameter_of_the_level():
    marks = bore_marks("78.01 78.01 78.02 78.02 78.03", bore_terms(Measure.OVALITY))

    assert mm("77.93", "78.03", "78.13") <= marks


def test_taper_turns_about_the_ends_of_its_axis_and_where_it_outgrows_the_other_axis():
    marks = bore_marks("78.01 78.00 78.04 78.02 78.03", bore_terms(Measure.TAPER))

    assert mm("77.92", "78.10", "78.03", "77.99") <= marks


def test_overall_difference_turns_about_the_ends_of_all_other_diameters():
    marks = bore_marks("78.01 78.00 78.04", bore_terms(Measure.OVERALL))

    assert marks == mm("78.00", "77.90", "78.10", "78.04", "77.94", "78.14")


def test_the_diameter_that_stood_at_the_cell_itself_does_not_count():
    marks = bore_marks("78.01 78.01 78.01 78.01 78.01 79.00", bore_terms(Measure.VALUE))

    assert marks == mm("0.10", "78.01")


def test_a_clearance_turns_a_limit_beyond_the_other_size():
    bush, pin = a_mate("2.bush", "diameter", "22.03"), a_mate("2.pin", "diameter", "21.99", "21.98")

    as_outer = clearance_marks_mm([an_upper("0.05")], bush, pin, is_outer=True)
    as_inner = clearance_marks_mm([an_upper("0.05")], bush, pin, is_outer=False)

    assert set(as_outer) == mm("22.03", "22.04")
    assert set(as_inner) == mm("21.98", "21.99")


def test_leaves_turn_at_the_limit_and_at_the_thicknesses_about_it():
    marks = leaf_marks_mm(gap_terms(), "worst place")

    assert set(marks) == mm("0.64", "0.65", "0.67")


def test_leaves_whose_errors_count_turn_where_those_reach_the_limit():
    marks = leaf_marks_mm(gap_terms(Rule.GUARDED), "worst place")

    assert set(marks) == mm("0.65", "0.645", "0.655", "0.64", "0.66", "0.30", "1.00")


def test_a_table_of_leaves_asks_every_pair_of_stretches_once_and_the_thinner_leaf_alone():
    asked = []

    def ask(goes: int, stops: int | None) -> Said:
        """Answer by the stretches alone."""
        asked.append((goes, stops))
        verdict = Verdict.UNDECIDED if stops is None else Verdict.RENEW if goes > 5 else Verdict.REUSE
        return Said(verdict, "", ())

    found = find_leaf_bands(ask, [5, 20], (0, 10))

    assert found.starts == (0, 5, 6)
    assert found.table == ((0, 0, 0, 1), (NONE, NONE, 0, 1), (NONE, NONE, 2, 1))
    assert [one.verdict for one in found.said] == [Verdict.REUSE, Verdict.UNDECIDED, Verdict.RENEW]
    assert len(asked) == len(set(asked)) == 15


def test_where_the_nearer_limit_turns_within_both_reasons_stand_and_no_leaf_is_named():
    def ask(goes: int, stops: int | None) -> Said:
        """Name the nearer of two limits."""
        near = "least" if goes < 5 else "most"
        return Said(Verdict.UNDECIDED, "", (("reason", near), ("leaf", f"Try {near}."), ("source", "Table 4")))

    found = find_leaf_bands(ask, [], (0, 10))

    assert found.said[0].lines == (("reason", "least"), ("reason", "most"), ("source", "Table 4"))


def test_where_the_verdict_turns_within_the_book_alone_can_say():
    found = find_leaf_bands(lambda goes, _: Said(Verdict.REUSE if goes < 5 else Verdict.RENEW, "", ()), [], (0, 10))

    assert found.table == ((NONE, NONE),)
