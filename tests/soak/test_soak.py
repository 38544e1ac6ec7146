"""A few tablets on a bad network for a few seconds; the long run is its own command."""

from pathlib import Path

import pytest

from tests.soak.trial import soak


@pytest.mark.long
def test_nothing_is_lost_or_doubled_on_a_bad_network(tmp_path: Path) -> None:
    outcome = soak(tmp_path, tablets=8, seconds=40, seed=7, thinking_s=4.0)

    assert outcome.faults == ()
    assert "8 tablets" in outcome.words
