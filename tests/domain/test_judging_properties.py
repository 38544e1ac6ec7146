"""Properties of judging whatever is typed: units, wear, order, guards and more readings never flatter a part."""

import json
from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.canonical import canonical
from app.domain.judgement import Against, compare, compare_goes, compare_leaves, makeable
from app.domain.limits import Limit, Measure, OnLimit, Side
from app.domain.numbers import inches, millimetres
from app.domain.overhaul import Meaning
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.readings import SEEN
from app.domain.seal import content_for
from app.domain.verdicts import WEIGHT, Verdict
from app.reports.verdict_rows import RejudgedOpening, opening_document
from tests.builders import a_reading
from tests.domain.builders import (
    a_gauged_overhaul,
    a_sheet_with,
    an_overhaul,
    bore_readings,
    ring_gap,
    the_sheet,
    verdict_of,
)

SLOW = settings(deadline=None, max_examples=60)
GAPS = st.decimals(min_value="0.20", max_value="1.20", places=2)
SIZES = st.decimals(min_value="0.001", max_value="2.000", places=3)
GUARDS = st.decimals(min_value=0, max_value="0.200", places=3)
LIMITS = st.builds(
    lambda size, side, on: Limit(Measure.VALUE, side, millimetres(str(size)), on),
    SIZES, st.sampled_from(Side), st.sampled_from(OnLimit),
)  # fmt: skip
LEAVES = makeable(leaf.mm for leaf in the_sheet().leaves)
RANK = {Against.CONFORMS: 0, Against.UNPROVEN: 1, Against.FAILS: 2}
ENTRIES = [
    ring_gap(1, "0.45/0.50"), ring_gap(2, "0.70"), ring_gap(3, "0.60/0.70"), a_reading("2.piston", SEEN, "doubtful"),
    a_reading("2.pin", "diameter", "21.96"), *bore_readings("2.cylinder", "78.12 78.02 78.03"),
]  # fmt: skip


def own(overhaul) -> dict[str, Verdict]:
    """Every part's verdict."""
    return {verdict.part.ref: verdict.verdict for verdict in judge_overhaul(overhaul)}


@SLOW
@given(st.decimals(min_value="0.0001", max_value="0.0500", places=4), LIMITS)
def test_the_unit_typed_in_never_changes_how_a_value_stands(size_in, limit):
    in_inches, in_mm = inches(str(size_in)), millimetres(str(size_in * Decimal("25.4")))

    assert compare(in_inches.mm, limit) is compare(in_mm.mm, limit)


@SLOW
@given(st.decimals(min_value="0.0100", max_value="0.0400", places=4))
def test_the_unit_typed_in_never_changes_a_verdict(size_in):
    as_inches = a_gauged_overhaul(ring_gap(1, f"{size_in} in"))
    as_mm = a_gauged_overhaul(ring_gap(1, f"{size_in * Decimal('25.4')} mm"))

    assert own(as_inches) == own(as_mm)


@SLOW
@given(SIZES, SIZES, LIMITS, GUARDS)
def test_more_wear_never_improves_how_a_value_stands(one, other, limit, guard):
    less, more = sorted((one, other), reverse=limit.side is Side.LOWER)

    assert RANK[compare(less, limit, guard)] <= RANK[compare(more, limit, guard)]


@SLOW
@given(GAPS, GAPS)
def test_more_wear_of_a_ring_never_improves_its_verdict(one, other):
    less, more = (a_gauged_overhaul(ring_gap(1, str(gap))) for gap in sorted((one, other)))

    assert WEIGHT.index(own(less)["2.ring-1"]) <= WEIGHT.index(own(more)["2.ring-1"])


@SLOW
@given(st.lists(st.integers(0, 20), min_size=6, max_size=6), st.integers(1, 20))
def test_more_wear_at_the_largest_diameter_never_improves_a_bore(hundredths, more):
    largest = max(range(6), key=lambda place: hundredths[place])
    worn = [size + (more if place == largest else 0) for place, size in enumerate(hundredths)]

    before, after = (
        a_gauged_overhaul(*bore_readings("2.cylinder", " ".join(f"78.{size:02}" for size in sizes)))
        for sizes in (hundredths, worn)
    )

    assert WEIGHT.index(own(before)["2.cylinder"]) <= WEIGHT.index(own(after)["2.cylinder"])


@SLOW
@given(st.permutations(ENTRIES))
def test_the_order_of_entries_at_different_places_does_not_matter(entries):
    assert own(an_overhaul(*entries)) == own(an_overhaul(*ENTRIES))


@SLOW
@given(GAPS, GAPS)
def test_at_one_place_the_later_entry_supersedes(first, second):
    both = a_gauged_overhaul(ring_gap(1, str(first)), ring_gap(1, str(second)))

    assert own(both) == own(a_gauged_overhaul(ring_gap(1, str(second))))


@SLOW
@given(st.permutations(ENTRIES), st.integers(1, len(ENTRIES)))
def test_an_entry_at_another_place_never_turns_renew_into_anything_lighter(entries, count):
    before, after = an_overhaul(*entries[: count - 1]), an_overhaul(*entries[:count])

    renewed = [ref for ref, verdict in own(before).items() if verdict is Verdict.RENEW]
    assert all(own(after)[ref] is Verdict.RENEW for ref in renewed)


@SLOW
@given(SIZES, LIMITS, GUARDS)
def test_a_guard_never_accepts_what_the_simple_rule_refuses(value, limit, guard):
    simply, guarded = compare(value, limit), compare(value, limit, guard)

    assert guarded is not Against.CONFORMS or simply is Against.CONFORMS
    assert guarded is not Against.FAILS or simply is Against.FAILS


@SLOW
@given(SIZES, SIZES, LIMITS, GUARDS)
def test_leaf_errors_never_accept_or_refuse_what_the_leaves_alone_leave_open(one, other, limit, error):
    goes, stops = sorted((one, other + Decimal("0.001")))
    if goes == stops:
        return
    alone, widened = (compare_leaves(goes, stops, limit, LEAVES, (e, e)) for e in (Decimal(0), error))

    assert widened is alone or widened is Against.UNPROVEN


@SLOW
@given(SIZES, SIZES, LIMITS)
def test_two_leaves_never_contradict_a_size_that_lies_between_them(one, other, limit):
    goes, stops = sorted((one, other + Decimal("0.0005")))
    middle = (goes + stops) / 2
    stands = compare_leaves(goes, stops, limit)

    assert stands is Against.UNPROVEN or goes == stops or stands is compare(middle, limit)


@SLOW
@given(SIZES, SIZES, LIMITS)
def test_the_leaf_that_goes_alone_never_says_more_than_both_leaves(one, other, limit):
    goes, stops = sorted((one, other + Decimal("0.0005")))
    alone = compare_goes(goes, limit)

    assert alone is Against.UNPROVEN or goes == stops or compare_leaves(goes, stops, limit) is alone


@SLOW
@given(st.sampled_from(("RENEW", "UNDECIDED")))
def test_a_sound_ring_beside_a_bad_one_is_never_better_than_the_set(word):
    bad = ring_gap(2, "0.70") if word == "RENEW" else ring_gap(2, "0.60/0.70")
    overhaul = a_gauged_overhaul(bad)

    assert verdict_of(overhaul, "2.ring-2").verdict.word == word
    assert verdict_of(replace(overhaul), "2.ring-1").verdict is (Verdict.RENEW if word == "RENEW" else Verdict.REUSE)


@SLOW
@given(st.lists(st.sampled_from(ENTRIES), max_size=6), st.text(max_size=20))
def test_what_is_signed_written_as_json_and_read_again_is_the_same_content(entries, site):
    overhaul = a_gauged_overhaul(*entries)
    overhaul = replace(overhaul, machine=replace(overhaul.machine, site=site))
    written = canonical(content_for(overhaul, Meaning.DECIDED))

    assert canonical(json.loads(written)) == written


@SLOW
@given(st.lists(st.sampled_from(ENTRIES), max_size=6), st.text(max_size=20))
def test_a_rejudged_opening_out_as_json_and_in_again_is_the_same_opening(entries, name):
    verdicts = judge_overhaul(a_gauged_overhaul(*entries))
    opening = RejudgedOpening(name, "GA-1", Decimal("2300.50"), None, "stage 2", 2, 30, 29, verdicts)
    document = opening_document(opening)

    assert json.loads(json.dumps(document, ensure_ascii=False)) == document


@SLOW
@given(GAPS, GAPS)
def test_a_guarded_sheet_never_accepts_a_gap_that_the_simple_rule_refuses(one, other):
    goes, stops = sorted((one, other + Decimal("0.01")))
    if goes == stops:
        return
    gap = ring_gap(1, f"{goes}/{stops}")
    simply = verdict_of(an_overhaul(gap), "2.ring-1").judged
    guarded = verdict_of(an_overhaul(gap, sheet=a_sheet_with(rule="guarded")), "2.ring-1").judged

    pairs = zip(simply, guarded, strict=True)
    assert all(second.verdict is first.verdict or second.verdict is Verdict.UNDECIDED for first, second in pairs)
