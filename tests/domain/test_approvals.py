"""Tests of what is said of the signature under an overhaul's limits, and that decisions wait for it."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from app.domain.approvals import Approval, approval_words
from app.domain.overhaul import Meaning
from app.domain.phases import holds_before
from tests.builders import NOW
from tests.domain.builders import a_gauged_overhaul

ONE = Approval("text", None, "R. Osk", NOW, "0123456789")


@pytest.mark.parametrize(
    ("approvals", "decided_at", "said"),
    [
        ((), NOW, "LIMITS NOT APPROVED BY SIGNATURE"),
        ((ONE,), None, "limits approved by signature"),
        ((ONE,), NOW, "limits approved by signature"),
        (
            (ONE,),
            NOW - timedelta(seconds=1),
            "limits approved by signature ONLY AFTER THE DECISIONS WERE SIGNED",
        ),
        (
            (ONE, replace(ONE, person="I. Brandreth", at=NOW + timedelta(days=1))),
            NOW + timedelta(hours=1),
            "limits approved by signature",
        ),
    ],
)
def test_record_says_who_signed_its_limits_or_that_nobody_did(
    approvals: tuple[Approval, ...], decided_at: datetime | None, said: str
) -> None:
    assert approval_words(approvals, decided_at) == said


def test_decisions_and_nothing_else_wait_for_the_signature_under_the_limits() -> None:
    unsigned = replace(a_gauged_overhaul(), is_approval_due=True)
    waiting = f"limits not approved by signature: {unsigned.sheet.title}"

    holds = {meaning: holds_before(unsigned, meaning) for meaning in (Meaning.GAUGED, Meaning.DECIDED)}

    assert waiting in holds[Meaning.DECIDED]
    assert waiting not in holds[Meaning.GAUGED]
    assert waiting not in holds_before(replace(unsigned, is_approval_due=False), Meaning.DECIDED)
