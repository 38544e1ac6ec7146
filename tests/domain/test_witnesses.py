"""Tests of who witnesses which signature: a chief engineer's, once, entered by whoever gave it."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from app.domain.amendments import Witness
from app.domain.canonical import canonical
from app.domain.errors import InputRefused, NotAllowed, NotYet, Sealed
from app.domain.overhaul import Meaning, Overhaul, Signature
from app.domain.witnesses import (
    Surveyor,
    read_surveyor,
    require_unwitnessed,
    waiting_for_witness,
    witness_content,
)
from tests.domain.builders import an_overhaul

NOW = datetime(2031, 4, 5, tzinfo=UTC)
CHIEF = "I. Brandreth"
SEEN = Witness(Meaning.DECIDED, "d-decided", "A. Surveyor", "the class", CHIEF, NOW, "digest")


def signed(*witnesses: Witness) -> Overhaul:
    given = ((Meaning.GAUGED, "M. Tarrow"), (Meaning.DECIDED, CHIEF))
    seals = tuple(Signature(meaning, person, NOW, f"d-{meaning}") for meaning, person in given)
    return replace(an_overhaul(), signatures=seals, witnesses=witnesses)


def test_signature_of_a_chief_engineer_waits_for_whoever_gave_it_until_it_is_witnessed() -> None:
    waiting = [waiting_for_witness(signed(), name) for name in (CHIEF, "R. Osk")]

    assert [[one.meaning for one in each] for each in waiting] == [[Meaning.DECIDED], []]
    assert waiting_for_witness(signed(SEEN), CHIEF) == ()
    assert waiting_for_witness(signed(replace(SEEN, of_digest="an earlier one")), CHIEF) != ()
    assert require_unwitnessed(signed(), Meaning.DECIDED, CHIEF).digest == "d-decided"


@pytest.mark.parametrize("meaning", [Meaning.GAUGED, Meaning.RETURNED_CHIEF])
def test_what_no_chief_engineer_has_signed_is_not_witnessed(meaning: Meaning) -> None:
    with pytest.raises(NotYet, match="no signature of a chief engineer"):
        require_unwitnessed(signed(), meaning, "M. Tarrow")


def test_another_persons_signature_and_one_that_was_witnessed_are_refused() -> None:
    with pytest.raises(NotAllowed, match="gave this signature"):
        require_unwitnessed(signed(), Meaning.DECIDED, "R. Osk")
    with pytest.raises(Sealed, match="already"):
        require_unwitnessed(signed(SEEN), Meaning.DECIDED, CHIEF)


def test_name_and_body_are_both_needed_and_not_endless() -> None:
    assert read_surveyor(" A. Surveyor ", "the class") == Surveyor("A. Surveyor", "the class")
    with pytest.raises(InputRefused) as refused:
        read_surveyor("", "x" * 81)
    assert refused.value.fields == {"name": "This is needed.", "body": "At most 80 characters."}


def test_line_of_a_witness_covers_the_signature_and_who_witnessed_it() -> None:
    overhaul, surveyor = signed(), Surveyor("A. Surveyor", "the class")
    seal = overhaul.signatures[1]

    contents = {
        canonical(witness_content(overhaul, one, who, NOW))
        for one, who in ((seal, surveyor), (replace(seal, digest="other"), surveyor), (seal, Surveyor("B", "b")))
    }

    assert len(contents) == 3
    assert all('"meaning":"witnessed"' in content for content in contents)
