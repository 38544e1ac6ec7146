"""What was entered is in the book once, in order, however the network is cut."""

from pathlib import Path

import pytest

from tests.cuts.trial import Trial, differences

ENTERED = [("a", "0.301"), ("b", "0.302"), ("c", "sound")]


@pytest.mark.browser
def test_everything_entered_is_stored_once_and_in_order_whatever_is_cut(tmp_path: Path) -> None:
    outcome = Trial(tmp_path, seed=4).run(cuts=6)

    assert len(outcome.entered) >= 6
    assert outcome.faults == []


def test_book_that_holds_what_was_entered_has_no_fault() -> None:
    assert differences(ENTERED, list(ENTERED)) == []


@pytest.mark.parametrize(
    ("stored", "fault"),
    [
        (ENTERED[:2], "c: 0 times"),
        ([*ENTERED, ENTERED[0]], "a: 2 times"),
        ([("a", "0.300"), *ENTERED[1:]], "a: 0.301 became 0.300"),
        ([*ENTERED, ("d", "0.3")], "d: never entered"),
        ([ENTERED[1], ENTERED[0], ENTERED[2]], "the order differs"),
    ],
)
def test_every_difference_to_what_was_entered_would_be_found(stored: list[tuple[str, str]], fault: str) -> None:
    assert differences(ENTERED, stored) == [fault]
