"""Parts that the sheet renews with another, and mates that wait for each other."""

from dataclasses import replace

from app.domain.overhaul_verdicts import mate_keys
from app.domain.part_verdicts import PartVerdict
from app.domain.verdicts import Verdict
from tests.builders import a_reading
from tests.domain.builders import a_decision, a_gauged_overhaul, a_part, a_sheet_with, decided, the_sheet, verdict_of


def after(*readings, **parts: tuple[str, ...]) -> dict[str, PartVerdict]:
    changed = [replace(a_part(f"2.{key.replace('_', '-')}"), renew_with=mates) for key, mates in parts.items()]
    overhaul = a_gauged_overhaul(*readings, sheet=a_sheet_with(*changed))
    return {ref: verdict_of(overhaul, ref) for ref in ("2.pin", "2.bush", "2.piston", "2.ring-1", "2.ring-2")}


def test_a_bush_goes_with_its_renewed_pin_and_says_so():
    found = after(a_reading("2.pin", "seen", "scored"), bush=("pin",))

    assert found["2.bush"].verdict is Verdict.RENEW
    assert found["2.bush"].own is Verdict.REUSE
    assert found["2.bush"].set_reason == "Piston pin: renewed, and this goes with it."


def test_nothing_goes_with_a_pin_that_stays():
    assert after(bush=("pin",))["2.bush"].verdict is Verdict.REUSE


def test_what_goes_with_what_goes_with_a_renewed_part_goes_too():
    found = after(a_reading("2.pin", "seen", "scored"), bush=("pin",), piston=("bush",))

    assert found["2.piston"].verdict is Verdict.RENEW


def test_a_ring_that_goes_with_its_piston_takes_the_set_along():
    found = after(a_reading("2.piston", "seen", "groove-worn"), ring_1=("piston",))

    assert found["2.ring-2"].verdict is Verdict.RENEW
    assert found["2.ring-2"].with_set is not None


def test_a_decision_on_the_follower_still_stands_beside_the_rule():
    changed = replace(a_part("2.bush"), renew_with=("pin",))
    overhaul = a_gauged_overhaul(a_reading("2.pin", "seen", "scored"), sheet=a_sheet_with(changed))

    found = verdict_of(decided(overhaul, a_decision("2.bush", Verdict.RENEW)), "2.bush")

    assert found.decision is not None
    assert found.machine is Verdict.RENEW


def test_the_other_part_of_a_clearance_is_a_mate():
    pin = the_sheet("qm-guarded.toml").part("1.pin")

    assert pin is not None
    assert mate_keys(pin) == ("bush",)
