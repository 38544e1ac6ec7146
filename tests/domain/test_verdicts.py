"""The five verdicts and which of them outweighs another."""

from itertools import combinations

import pytest

from app.domain.verdicts import WEIGHT, Verdict, heavier, heaviest


def test_the_words_are_the_five_of_the_trade():
    assert [verdict.word for verdict in Verdict] == ["REUSE", "REWORK", "RENEW", "UNDECIDED", "NOT GAUGED"]


def test_renew_outweighs_undecided_then_not_gauged_then_rework_then_reuse():
    rising = [Verdict.REUSE, Verdict.REWORK, Verdict.NOT_GAUGED, Verdict.UNDECIDED, Verdict.RENEW]

    assert list(WEIGHT) == rising
    assert all(heavier(light, heavy) is heavier(heavy, light) is heavy for light, heavy in combinations(rising, 2))


@pytest.mark.parametrize("verdict", list(Verdict))
def test_a_verdict_joined_with_itself_stays(verdict):
    assert heaviest([verdict, verdict]) is verdict


def test_nothing_judged_is_not_gauged():
    assert heaviest([]) is Verdict.NOT_GAUGED
