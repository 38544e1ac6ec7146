"""Tests of how a figure is held to its mark; what is measured is measured by its own command."""

import json

from tests.benchmarks.figures import Figure, as_json, in_turn, percentile, table

SLOW = Figure("page", 30.0, 12.0, "ms", 2)
FAST = Figure("saved", 600.0, 1000.0, "a second", 0.5, is_at_least=True)


def test_a_ratio_is_held_to_its_mark_on_the_side_it_is_meant() -> None:
    assert (SLOW.held, SLOW.is_met) == (2.5, False)
    assert (FAST.held, FAST.is_met) == (0.6, True)
    assert not Figure("saved", 499.0, 1000.0, "a second", 0.5, is_at_least=True).is_met
    assert Figure("PDF", 1.0, None, "s", 1).is_met


def test_the_table_and_the_file_say_what_was_missed() -> None:
    assert table([SLOW]).splitlines()[2] == "| page | 30 ms | 12 ms | 2.50 times | ≤ 2 times | missed |"
    assert [each["is_met"] for each in json.loads(as_json([SLOW, FAST], "here"))["figures"]] == [False, True]


def test_the_middle_of_several_rounds_counts_and_the_slowest_of_a_hundred_is_seen() -> None:
    ours, its = iter([9.0, 1.0, 2.0]), iter([5.0, 6.0, 4.0])

    assert in_turn(3, lambda: next(ours), lambda: next(its)) == [2.0, 5.0]
    assert percentile([*[1.0] * 98, 7.0, 9.0], 0.99) == 9.0
