"""Published check values of judging, each judged as the source says, in the source's own unit and in the other."""

from decimal import Decimal

import pytest

from app.domain.characteristic_verdicts import judge_characteristic
from app.domain.judgement import Against, compare, compare_leaves
from app.domain.limits import Limit, Measure, Side
from app.domain.numbers import inches
from app.domain.units import LengthUnit
from app.domain.verdicts import Verdict, heaviest
from tests.builders import a_reading
from tests.domain.builders import a_gap, a_gauged_overhaul, a_lower, an_upper, at, ring_gap, terms, verdict_of

TABLE_G_2 = {  # US Army TM 5-4310-384-13, table G-2, wear limits in inches.
    "compression ring gap": (Side.UPPER, "0.018", "0.0181"),
    "oil ring gap": (Side.UPPER, "0.062", "0.0621"),
    "pin": (Side.LOWER, "0.5622", "0.5621"),
    "bush": (Side.UPPER, "0.5638", "0.5639"),
}


def verdict(value: str, limit: Limit) -> Verdict:
    """Judge one value against one limit."""
    size = a_gap(limit, new=None, unit=LengthUnit.INCH, decimals=4)
    reading = a_reading("2.ring-1", "closed-gap", value, unit="in")
    return heaviest([judged.verdict for judged in judge_characteristic(terms(size), {at(reading): reading})])


@pytest.mark.parametrize("what", TABLE_G_2)
def test_service_figures_of_tm_5_4310_384_13_pass_on_the_limit_and_fail_beyond(what):
    side, on, beyond = TABLE_G_2[what]
    limit = Limit(Measure.VALUE, side, inches(on))

    assert verdict(on, limit) is Verdict.REUSE
    assert verdict(beyond, limit) is Verdict.RENEW
    assert verdict(f"{(Decimal(on) * Decimal('25.4')).normalize()} mm", limit) is Verdict.REUSE
    assert verdict(f"{(Decimal(beyond) * Decimal('25.4')).normalize()} mm", limit) is Verdict.RENEW


def test_a_pin_and_bush_that_each_pass_can_still_be_too_loose_together():
    # US Army TM 5-4310-384-13, table G-2: the pair has a limit of its own, 0.0015 in.
    pair = Limit(Measure.VALUE, Side.UPPER, inches("0.0015"))
    clearance = Decimal("0.5638") - Decimal("0.5622")

    assert verdict(str(clearance), pair) is Verdict.RENEW


@pytest.mark.parametrize(
    ("deviation", "stands"),
    [("0.0017", Against.CONFORMS), ("0.0020", Against.CONFORMS), ("0.0025", Against.UNPROVEN),
     ("0.0030", Against.UNPROVEN), ("0.0040", Against.UNPROVEN), ("0.0041", Against.FAILS)],
)  # fmt: skip
def test_the_example_of_ilac_g8_accepts_00017_and_does_not_prove_00025(deviation, stands):
    # ILAC-G8:09/2019, 4.2.3: limit +-0.003, U 0.001, so acceptance +-0.002.
    guard = Decimal("0.001")

    assert compare(Decimal(deviation), an_upper("0.003"), guard) is stands
    assert compare(-Decimal(deviation), a_lower("-0.003"), guard) is stands


def test_a_gap_of_060_to_070_is_undecided_against_0698_although_its_middle_is_far_below():
    # JCGM 100:2008, 4.3.7: knowledge of bounds only. Middle 0.65 and 1.65 u give 0.698, which would accept it.
    middle, u = Decimal("0.65"), Decimal("0.05") / Decimal(3).sqrt()

    assert middle + Decimal("1.65") * u < Decimal("0.698")
    assert compare_leaves(Decimal("0.60"), Decimal("0.70"), an_upper("0.698")) is Against.UNPROVEN


@pytest.mark.parametrize("limit", ["1.30", "0.75", "0.55"])
def test_closed_gap_limits_as_a_fitter_knows_them_pass_on_the_limit(limit):
    # Common practice, no source: closed gap limits of the stages of a three-stage machine.
    over = Decimal(limit) + Decimal("0.01")

    assert verdict(f"{limit} mm", an_upper(limit)) is Verdict.REUSE
    assert verdict(f"{limit.replace('.', ',')} mm", an_upper(limit)) is Verdict.REUSE
    assert verdict(f"{over} mm", an_upper(limit)) is Verdict.RENEW


def test_one_ring_over_its_limit_renews_all_three_and_the_reason_names_it():
    # Common practice, no source.
    overhaul = a_gauged_overhaul(ring_gap(2, "0.70"))

    rings = [verdict_of(overhaul, f"2.ring-{number}") for number in (1, 2, 3)]

    assert [ring.verdict for ring in rings] == [Verdict.RENEW] * 3
    assert {ring.set_reason for ring in rings} == {"Ring 2: renewed, so is the whole set of 3."}
