"""Rules of a site: what stands, what stood at a moment, and what keeps a machine shut."""

from datetime import timedelta

import pytest

from app.domain.site_rules import RuleKind, SiteRule, in_force, standby_words
from tests.builders import NOW

LATER = NOW + timedelta(days=1)
WATER = SiteRule(RuleKind.SAFE_LINE, "Cooling water shut", True, "I. Brandreth", NOW)
TAKEN_BACK = SiteRule(RuleKind.SAFE_LINE, "Cooling water shut", False, "I. Brandreth", LATER)
PAIR = SiteRule(RuleKind.STANDBY, "GA-1, GA-2", True, "I. Brandreth", NOW)


def test_the_last_word_on_a_rule_counts():
    assert in_force((WATER, PAIR), RuleKind.SAFE_LINE) == (WATER,)
    assert in_force((WATER, PAIR, TAKEN_BACK), RuleKind.SAFE_LINE) == ()


def test_what_stood_at_a_moment_is_told_from_what_stands_now():
    assert in_force((WATER, TAKEN_BACK), RuleKind.SAFE_LINE, NOW) == (WATER,)
    assert in_force((WATER, TAKEN_BACK), RuleKind.SAFE_LINE, NOW - timedelta(days=1)) == ()


@pytest.mark.parametrize(
    ("tag", "is_open", "words"),
    [
        ("GA-1", ("GA-2",), "GA-2 is open, and the site never opens GA-1 and GA-2 together."),
        ("GA-1", (), ""),
        ("GA-1", ("BA-1",), ""),
        ("BA-1", ("GA-1", "GA-2"), ""),
    ],
)
def test_a_machine_is_kept_shut_only_while_another_of_its_rule_is_open(tag, is_open, words):
    assert standby_words(PAIR, tag, is_open) == words


def test_of_three_machines_every_open_one_is_named():
    three = SiteRule(RuleKind.STANDBY, "GA-1, GA-2, BA-1", True, "I. Brandreth", NOW)

    assert standby_words(three, "GA-1", ("GA-2", "BA-1")).startswith("GA-2 and BA-1 are open")
