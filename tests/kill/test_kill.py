"""A reading that was acknowledged is in the book, whatever happens to the server."""

import random
from pathlib import Path

from tests.kill.trial import faults, kills_wanted, run_trial


def test_no_acknowledged_reading_is_lost_when_the_server_is_killed(tmp_path: Path) -> None:
    seed = random.SystemRandom().randrange(10**6)

    outcome = run_trial(tmp_path, kills_wanted(), seed)

    assert outcome.surprises == []
    assert outcome.broken_entry is None
    assert outcome.kills >= 10
    assert len(outcome.acknowledged) >= 4 * outcome.kills
    assert faults(outcome.acknowledged, outcome.stored) == [], f"seed {seed}"
    # The same check notices a loss in these very readings.
    one = next(iter(outcome.acknowledged))
    assert faults(outcome.acknowledged, [row for row in outcome.stored if row[0] != one]) == [f"{one}: 0 times"]


def test_loss_of_one_reading_is_noticed() -> None:
    assert faults({"a": "140.001", "b": "140.002"}, [("a", "140.001")]) == ["b: 0 times"]


def test_reading_stored_twice_is_noticed() -> None:
    assert faults({"a": "140.001"}, [("a", "140.001"), ("a", "140.001")]) == ["a: 2 times"]


def test_changed_figure_is_noticed() -> None:
    assert faults({"a": "140.001"}, [("a", "140.002")]) == ["a: 140.001 became 140.002"]


def test_reading_stored_without_being_acknowledged_is_no_fault() -> None:
    assert faults({"a": "140.001"}, [("a", "140.001"), ("b", "140.002")]) == []
