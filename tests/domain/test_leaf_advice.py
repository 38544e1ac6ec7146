"""Which leaf settles an undecided gap: every branch of the advice, and that following it comes to an end."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.judgement import Against, compare_leaves, settling_leaf
from app.domain.leaf_advice import NO_LEAF, leaf_advice
from app.domain.limits import OnLimit
from app.domain.verdicts import Verdict
from tests.domain.builders import a_gap, a_lower, an_upper

LEAVES = tuple(Decimal(leaf) for leaf in ("0.55", "0.60", "0.64", "0.65", "0.66", "0.70", "0.80"))
WITHOUT_65 = tuple(leaf for leaf in LEAVES if leaf != Decimal("0.65"))
WITHOUT_66 = tuple(leaf for leaf in LEAVES if leaf != Decimal("0.66"))
COARSE = tuple(Decimal(leaf) for leaf in ("0.60", "0.70", "0.80"))
UPPER, LOWER = an_upper("0.65"), a_lower("0.65", outcome=Verdict.REWORK)
REACHED = an_upper("0.65", on_limit=OnLimit.MUST_NOT_BE_REACHED)


@pytest.mark.parametrize(
    ("goes", "stops", "limit", "leaves", "advice"),
    [
        ("0.60", "0.70", UPPER, LEAVES, "Try 0.65. Does not go: REUSE. Goes: try 0.66."),
        ("0.60", "0.70", UPPER, WITHOUT_66, "Try 0.65. Does not go: REUSE. Goes: REUSE."),
        ("0.60", "0.70", UPPER, WITHOUT_65, "Try 0.64. Does not go: REUSE. Goes: try 0.66."),
        ("0.64", "0.70", UPPER, WITHOUT_65, "Try 0.66. Does not go: still UNDECIDED. Goes: RENEW."),
        ("0.65", "0.70", UPPER, LEAVES, "Try 0.66. Does not go: REUSE. Goes: RENEW."),
        ("0.60", "0.70", UPPER, COARSE, NO_LEAF),
        ("0.60", "0.80", UPPER, COARSE, "Try 0.70. Does not go: still UNDECIDED. Goes: RENEW."),
        ("0.60", "0.70", REACHED, LEAVES, "Try 0.65. Does not go: REUSE. Goes: RENEW."),
        ("0.60", "0.70", LOWER, LEAVES, "Try 0.65. Does not go: REWORK. Goes: REUSE."),
        ("0.60", "0.70", LOWER, WITHOUT_65, "Try 0.66. Does not go: try 0.64. Goes: REUSE."),
        ("0.60", "0.66", LOWER, WITHOUT_65, "Try 0.64. Does not go: REWORK. Goes: still UNDECIDED."),
        ("0.55", None, UPPER, LEAVES, "Try 0.65. Does not go: REUSE. Goes: try 0.66."),
        ("0.65", None, UPPER, LEAVES, "Try 0.66. Does not go: REUSE. Goes: RENEW."),
        ("0.65", None, UPPER, LEAVES[:2], NO_LEAF),
    ],
)
def test_the_advice_names_the_leaf_and_what_each_answer_leads_to(goes, stops, limit, leaves, advice):
    stops_mm = Decimal(stops) if stops else None

    assert leaf_advice(Decimal(goes), stops_mm, limit, a_gap(limit), leaves) == advice


def test_the_advice_writes_the_verdict_that_the_limit_leads_to():
    limit = an_upper("0.65", outcome=Verdict.REWORK)

    advice = leaf_advice(Decimal("0.65"), Decimal("0.70"), limit, a_gap(limit), LEAVES)

    assert advice.endswith("Goes: REWORK.")


@settings(deadline=None)
@given(
    st.integers(1, 40), st.sampled_from([UPPER, LOWER, REACHED]), st.sets(st.integers(1, 40), min_size=1), st.booleans()
)
def test_trying_the_named_leaf_again_and_again_comes_to_an_end(gap, limit, leaves, is_widest):
    # The true gap lies half a hundredth above so many fiftieths; every leaf tried goes or does not.
    made = tuple(sorted(Decimal(leaf) / 50 for leaf in leaves))
    true_mm, goes, stops = Decimal(gap) / 50 + Decimal("0.005"), Decimal(0), Decimal(2) if is_widest else Decimal("1.5")

    for _ in range(len(made) + 1):
        leaf = settling_leaf(goes, stops, limit, made)
        if leaf is None or compare_leaves(goes, stops, limit, made) is not Against.UNPROVEN:
            break
        goes, stops = (leaf, stops) if leaf <= true_mm else (goes, leaf)

    stands = compare_leaves(goes, stops, limit, made)
    assert stands is not Against.UNPROVEN or settling_leaf(goes, stops, limit, made) is None
    if stands is not Against.UNPROVEN and goes != limit.size.mm:
        is_good = true_mm <= limit.size.mm if limit is not LOWER else true_mm >= limit.size.mm
        assert (stands is Against.CONFORMS) is is_good
