"""Errors are named for their reason, and carry words for the person at the page."""

import pytest

from app.domain import errors


def test_refused_fields_are_kept_apart_and_said_together():
    refusal = errors.InputRefused({"goes": "Nothing is typed.", "reason": "Say why."})

    assert refusal.fields == {"goes": "Nothing is typed.", "reason": "Say why."}
    assert str(refusal) == "goes: Nothing is typed.; reason: Say why."


@pytest.mark.parametrize(
    "error",
    [errors.NumberRefused, errors.UnitMismatch, errors.LimitMissing, errors.NotThere, errors.NotAllowed,
     errors.Sealed, errors.NotYet],
)  # fmt: skip
def test_every_refusal_is_one_of_this_house(error):
    assert issubclass(error, errors.WearbookError)
