"""Tests of how long a sign-in stands, and how slowly a password may be guessed."""

from datetime import UTC, datetime, timedelta

import pytest

from app.domain.people import Person, Role
from app.domain.sign_ins import HowLong, SignIn, Standing, standing_of, wait_after

BEGAN = datetime(2026, 11, 24, 6, 0, tzinfo=UTC)
HOW_LONG = HowLong(timedelta(minutes=20), timedelta(hours=14), timedelta(days=7))


def a_sign_in(last_seen: timedelta) -> SignIn:
    return SignIn(Person(1, "M. Tarrow", Role.FITTER), "handle", BEGAN, BEGAN + last_seen)


@pytest.mark.parametrize(
    ("seen", "asked", "expected"),
    [
        (timedelta(0), timedelta(minutes=19, seconds=59), Standing.OPEN),
        (timedelta(0), timedelta(minutes=20), Standing.LOCKED),
        (timedelta(0), timedelta(hours=13, minutes=59), Standing.LOCKED),
        (timedelta(0), timedelta(hours=14), Standing.OVER),
        (timedelta(hours=30), timedelta(hours=30, minutes=10), Standing.OPEN),
        (timedelta(days=6, hours=23, minutes=59), timedelta(days=7) - timedelta(seconds=1), Standing.OPEN),
        (timedelta(days=6, hours=23, minutes=59), timedelta(days=7), Standing.OVER),
    ],
)
def test_sign_in_slides_with_use_locks_when_idle_and_ends_at_last(
    seen: timedelta, asked: timedelta, expected: Standing
) -> None:
    assert standing_of(a_sign_in(seen), HOW_LONG, BEGAN + asked) is expected


def test_sign_in_never_locks_where_no_idle_time_is_set() -> None:
    never = HowLong(timedelta(0), timedelta(hours=14), timedelta(days=7))

    assert standing_of(a_sign_in(timedelta(0)), never, BEGAN + timedelta(hours=13)) is Standing.OPEN


def test_wait_grows_with_every_wrong_password_and_never_past_five_minutes() -> None:
    waits = [wait_after(wrong) for wrong in range(40)]

    assert waits[:5] == [timedelta(0)] * 4 + [timedelta(seconds=5)]
    assert waits == sorted(waits)
    assert waits[-1] == timedelta(minutes=5)
