"""A whole stage is gauged with hardly a tap more than its figures need; the count over three stages has its command."""

import pytest

from tests.taps import measured

pytestmark = pytest.mark.browser
MOST_OVER = 0.15


def test_stage_is_gauged_within_a_seventh_of_the_least_taps_and_stored_as_found() -> None:
    found = measured(stages=(2,))

    assert found.kept == 15
    assert found.least == 39
    assert found.over <= MOST_OVER
