"""Tests of how often a program may call."""

from app.web.call_rate import MOST_CALLERS, CallRate


def test_a_caller_waits_until_its_first_call_is_a_minute_old() -> None:
    now = [0.0]
    rate = CallRate(most=2, per_s=60, clock=lambda: now[0])

    at_once = [rate.wait_s("a"), rate.wait_s("a"), rate.wait_s("a"), rate.wait_s("b")]
    now[0] = 59.5
    nearly = rate.wait_s("a")
    now[0] = 60.0
    after = rate.wait_s("a")

    assert at_once == [0, 0, 61, 0]
    assert (nearly, after) == (1, 0)


def test_callers_long_silent_are_forgotten_first() -> None:
    rate = CallRate(most=1, clock=lambda: 0.0)

    for number in range(MOST_CALLERS + 5):
        rate.wait_s(str(number))

    assert len(rate.calls) == MOST_CALLERS
    assert rate.wait_s("0") == 0
    assert rate.wait_s(str(MOST_CALLERS)) > 0
