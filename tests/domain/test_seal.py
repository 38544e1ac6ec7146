"""What a signature covers: the same content gives the same digest, and any field of it another."""

from dataclasses import fields, replace
from decimal import Decimal

import pytest

from app.domain.canonical import canonical, digest
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.readings import SEEN, Occasion
from app.domain.running import Run, read_figures
from app.domain.running_limits import PressureUnit
from app.domain.seal import content_for
from app.domain.verdicts import Verdict
from tests.builders import NOW, a_good_run, a_reading
from tests.domain.builders import (
    LATER,
    MACHINE,
    a_concession,
    a_decision,
    a_dial,
    a_gauged_overhaul,
    an_overhaul,
    confirmed,
    decided,
    entered,
    fitted,
    mm,
    ring_gap,
    the_sheet,
)

DIAL = a_dial("2.cylinder", "mid stroke", "along the pin", "+0.02", temperature_c=Decimal(24))
FITTED_GAP = ring_gap(1, "0.20/0.25", occasion=Occasion.AS_FITTED)
WHOLE = fitted(
    decided(
        confirmed(a_gauged_overhaul(ring_gap(2, "0.70"), DIAL, FITTED_GAP), Phase.MAKE_SAFE, Phase.BOX_UP),
        a_decision("2.ring-set", Verdict.REUSE, a_concession()),
    ),
    "2.cylinder",
    made_to="78.25",
)
CHANGED = {  # another value for each field that a record of a signature holds
    "id": "another", "occasion": Occasion.AS_FITTED, "measured_by": "R. Osk", "entered_by": "R. Osk",
    "measured_at": LATER, "stored_at": LATER, "value": mm("0.03"), "set_size": mm("78.01"), "instrument": "B-02",
    "reason": "again", "temperature_c": Decimal(25), "supersedes": "another", "phase": Phase.PROVE,
    "step": "locks", "person": "R. Osk",
    "at": NOW.replace(year=2025), "ref": "2.pin", "number": "QM-9", "batch": "B-8", "made_to": mm("78.50"),
    "verdict": Verdict.RENEW, "renews": "pin", "concession": None, "tag": "GA-2", "serial": "QM-0142",
    "name": "Air", "site": "Other", "sheet_name": "QM-BA", "stages": (1,), "has_rings": False,
}  # fmt: skip
NOT_ALONE = ("kind", "goes", "does_not_go", "findings", "place")  # change only together with another field


def sealed(overhaul: Overhaul, meaning: Meaning = Meaning.RETURNED_CHIEF) -> str:
    """The digest of what a signature covers."""
    return digest(canonical(content_for(overhaul, meaning)))


def other(name: str, now: object) -> object:
    """Another value of a field."""
    return "a longer reason than before" if name == "reason" and now else CHANGED.get(name, f"not {now}")


def variants(fact) -> list:
    """The same fact with each field changed in turn."""
    names = [field.name for field in fields(fact) if field.name not in NOT_ALONE]
    return [replace(fact, **{name: other(name, getattr(fact, name))}) for name in names]


def changed_in(collection: str, fact) -> list[Overhaul]:
    """The overhaul with each field of one fact changed in turn."""
    facts = getattr(WHOLE, collection)
    return [replace(WHOLE, **{collection: tuple(v if f is fact else f for f in facts)}) for v in variants(fact)]


def test_the_same_content_gives_the_same_digest_and_each_meaning_another():
    assert sealed(WHOLE) == sealed(replace(WHOLE, readings=tuple(WHOLE.readings)))
    assert len({sealed(WHOLE, meaning) for meaning in Meaning}) == len(Meaning)


@pytest.mark.parametrize("collection", ["readings", "confirmations", "decisions", "fittings"])
def test_any_field_of_an_entry_changes_the_digest(collection):
    fact = DIAL if collection == "readings" else getattr(WHOLE, collection)[0]

    for overhaul in changed_in(collection, fact):
        assert sealed(overhaul) != sealed(WHOLE), overhaul


def test_the_place_of_an_entry_changes_the_digest():
    elsewhere = {"part": "2.piston"}, {"level": "top of ring travel"}, {"axis": "across the pin"}
    for change in elsewhere:
        place = replace(DIAL.place, **change)
        moved = tuple(replace(r, place=place) if r is DIAL else r for r in WHOLE.readings)
        assert sealed(replace(WHOLE, readings=moved)) != sealed(WHOLE)


def test_the_digits_typed_change_the_digest_although_the_size_is_the_same():
    typed = tuple(replace(r, value=mm("0.020")) if r is DIAL else r for r in WHOLE.readings)

    assert sealed(replace(WHOLE, readings=typed)) != sealed(WHOLE)


@pytest.mark.parametrize(
    "changed",
    [
        {"number": 6}, {"hours": Decimal(10301)}, {"sheet": replace(the_sheet(), revision="Z")},
        *({"machine": machine} for machine in variants(replace(MACHINE, id=1)) if machine.id == 1),
        *({"scope": scope} for scope in variants(WHOLE.scope)),
    ],
)  # fmt: skip
def test_machine_hours_sheet_and_scope_change_the_digest(changed):
    assert sealed(replace(WHOLE, **changed), Meaning.GAUGED) != sealed(WHOLE, Meaning.GAUGED)


def test_the_order_of_entries_and_what_they_strike_are_covered():
    first, second = ring_gap(1, "0.45/0.50"), ring_gap(1, "0.50/0.55")

    assert sealed(entered(WHOLE, first, second)) != sealed(entered(WHOLE, second, first))


def test_gauged_covers_what_was_found_and_nothing_that_comes_after():
    before = a_gauged_overhaul()
    after = fitted(decided(entered(before, FITTED_GAP), a_decision("2.pin", Verdict.RENEW)), "2.pin")

    assert sealed(before, Meaning.GAUGED) == sealed(confirmed(after, Phase.BOX_UP), Meaning.GAUGED)
    assert sealed(before, Meaning.GAUGED) != sealed(confirmed(after, Phase.MAKE_SAFE), Meaning.GAUGED)


def test_decided_covers_verdicts_and_decisions_but_not_what_is_fitted():
    before = a_gauged_overhaul()

    assert sealed(before, Meaning.DECIDED) == sealed(entered(before, FITTED_GAP), Meaning.DECIDED)
    assert sealed(before, Meaning.DECIDED) != sealed(
        decided(before, a_decision("2.pin", Verdict.RENEW)), Meaning.DECIDED
    )


def test_a_sealed_verdict_carries_word_set_and_reasons():
    content = content_for(WHOLE, Meaning.DECIDED)
    ring = next(verdict for verdict in content["verdicts"] if verdict["part"] == "2.ring-1")

    assert (ring["verdict"], ring["first_verdict"]) == ("REUSE", "RENEW")
    assert ring["set"] == "Ring 2: renewed, so is the whole set of 3."
    assert content["as_found"][-2]["is_superseded"] is False
    assert any(entry["is_superseded"] for entry in content["as_found"])
    assert a_reading("2.pin", SEEN, "sound").place.part == "2.pin"


def test_a_sealed_reason_holds_what_it_always_held():
    content = content_for(WHOLE, Meaning.DECIDED)

    reasons = [reason for verdict in content["verdicts"] for reason in verdict["reasons"]]
    assert {tuple(reason) for reason in reasons} == {
        ("verdict", "measure", "figure", "reason", "source", "renews", "advice", "margin_mm", "place", "is_absolute")
    }


def test_a_signature_of_the_fitter_given_before_still_covers_the_same_content():
    # This signature is compared anew each time an overhaul is shown: what it covers must never be written otherwise.
    overhaul = confirmed(entered(an_overhaul(), replace(DIAL, id="r1", supersedes="")), Phase.MAKE_SAFE)

    assert sealed(overhaul, Meaning.GAUGED) == "9969b05210a23ebddf2b9320fb9a0fd6e58a89b57072849e8f5953ec97cacee5"


def test_a_run_is_sealed_with_what_was_typed_its_unit_and_by_whom_and_when_it_was_made():
    typed = a_good_run()
    run = Run(1, 1, 1, Decimal(10300), "M. Tarrow", NOW, typed, read_figures(typed, 3, PressureUnit.BAR))
    proved = replace(WHOLE, runs=(run,))
    changes = {"typed": typed | {"gauge-1": "2.4"}, "person": "R. Osk", "at": LATER, "hours": Decimal(10301)}

    digests = [sealed(replace(proved, runs=(replace(run, **{name: value}),))) for name, value in changes.items()]

    assert len({sealed(WHOLE), sealed(proved), *digests}) == 6
    assert sealed(proved, Meaning.DECIDED) == sealed(WHOLE, Meaning.DECIDED)
