"""A verdict rests on few parts: judged among these alone it is the same as judged among all."""

import random
from collections import Counter
from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.numbers import millimetres
from app.domain.overhaul_verdicts import judge_overhaul, resting_on
from app.domain.readings import Kind, Occasion
from app.domain.verdicts import Verdict
from tests.builders import NOW, good_readings
from tests.domain.builders import (
    a_concession,
    a_decision,
    a_gauged_overhaul,
    a_part,
    a_sheet_with,
    an_overhaul,
    decided,
    the_sheet,
)

TIED = a_sheet_with(
    replace(a_part("2.pin"), rework_before=("suction-valve",)),
    replace(a_part("2.head"), renew_with=("delivery-valve",)),
)


def by_chance(seed, sheet):
    """An overhaul of which any place may be worn or missing, anything seen, and anything decided; paper at times."""
    chance = random.Random(seed)
    stages = tuple(stage.number for stage in sheet.stages)
    readings = [
        _worn(chance, reading)
        for reading in good_readings(sheet.parts, Occasion.AS_FOUND, NOW)
        if chance.random() < 0.95
    ]
    refs = [part.ref for part in sheet.parts] + [part_set.ref for part_set in sheet.sets]
    verdicts = (Verdict.RENEW, Verdict.REWORK, Verdict.REUSE)
    decisions = [a_decision(chance.choice(refs), chance.choice(verdicts), a_concession()) for _ in range(6)]
    paper = {"paper": "old.csv"} if seed % 5 == 0 else {}
    overhaul = an_overhaul(*readings, sheet=sheet, stages=stages, has_rings=seed % 7 > 0, **paper)
    return decided(overhaul, *decisions)


def _worn(chance, reading):
    """Make a size a little larger or smaller, or see something, one time in six."""
    if chance.random() > 0.16:
        return reading
    if reading.kind is Kind.SEEN:
        return replace(reading, findings=(chance.choice(("broken", "scuffed", "cracked", "doubtful")),))
    if reading.kind is Kind.SIZE:
        size = reading.value.value * chance.choice((Decimal("0.99"), Decimal("1.003"), Decimal("1.02")))
        return replace(reading, value=replace(reading.value, value=size))
    return replace(reading, goes=millimetres("0.90"), does_not_go=millimetres("0.95"))


@pytest.mark.parametrize(
    ("sheet", "is_tied"), [(the_sheet("qm-ga.toml"), False), (the_sheet("qm-guarded.toml"), True), (TIED, True)]
)
def test_a_verdict_follows_from_the_parts_that_it_is_said_to_rest_on_and_from_no_other(sheet, is_tied):
    told = Counter()
    for seed in range(30):
        overhaul = by_chance(seed, sheet)
        whole = {verdict.part.ref: verdict for verdict in judge_overhaul(overhaul)}
        for ref, verdict in whole.items():
            among = resting_on(overhaul, ref)
            alone = {each.part.ref: each for each in judge_overhaul(overhaul, among=among)}
            assert alone == {each: whole[each] for each in whole if each in among}
            assert ref in among
            told["with its set"] += bool(verdict.with_set)
            told["waits"] += bool(verdict.waits_for)
            told["comes after"] += bool(verdict.comes_after)
            told["fewer"] += len(among) < len(whole)
    assert all(told[word] for word in ("with its set", "waits", "fewer"))
    assert bool(told["comes after"]) is is_tied


def test_a_part_that_is_not_in_the_scope_rests_on_nothing():
    assert resting_on(a_gauged_overhaul(), "1.piston") == frozenset()
