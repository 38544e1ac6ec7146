"""Overhauls from paper: their place among the others, their phase, and the verdicts beside what was done."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import pytest

from app.domain.errors import Sealed
from app.domain.old_paper import in_date_order
from app.domain.overhaul import Decision, Meaning, Overhaul, Phase
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.phases import check_signature, phase_of, require_phase, require_unsealed_findings
from app.domain.seal import content_for
from app.domain.verdicts import Verdict
from tests.builders import NOW
from tests.domain.builders import a_gauged_overhaul, ring_gap, verdict_of


@dataclass(frozen=True)
class Listed:
    """An overhaul in a list."""

    number: int
    opened_at: datetime
    paper: str = ""


def days(number: int) -> datetime:
    """A day."""
    return NOW + timedelta(days=number)


def from_paper(*readings, done: dict[str, Verdict] | None = None) -> Overhaul:
    """A gauged overhaul that stood on paper, with what was done."""
    decisions = tuple(Decision(ref, verdict, "Line 3.", "I. Brandreth", NOW) for ref, verdict in (done or {}).items())
    return replace(a_gauged_overhaul(*readings), paper="“7” of old.csv", opened_by="I. Brandreth", decisions=decisions)


def test_those_from_paper_stand_by_their_day_and_the_others_by_their_number_whatever_the_clock_said() -> None:
    first, second = Listed(1, days(10)), Listed(2, days(5))  # the clock was set back between them
    old, between, same_day, late = (Listed(3 + n, days(day), "p") for n, day in enumerate((1, 7, 7, 99)))

    found = in_date_order([second, late, same_day, first, between, old])

    assert [each.number for each in found] == [3, 4, 5, 1, 2, 6]


def test_it_is_in_no_phase_of_the_work_and_takes_no_signature_or_entry() -> None:
    overhaul = from_paper()

    assert phase_of(overhaul) is Phase.PAPER
    assert overhaul.origin == "from paper, entered by I. Brandreth"
    assert a_gauged_overhaul().origin == ""
    for refused in (
        lambda: check_signature(overhaul, Meaning.GAUGED, "M. Tarrow"),
        lambda: require_phase(overhaul, Phase.BOX_UP),
        lambda: require_unsealed_findings(overhaul),
    ):
        with pytest.raises(Sealed, match="from paper, entered by"):
            refused()


def test_what_was_done_stands_beside_the_sheets_verdict_and_renews_nothing_else() -> None:
    worn = ring_gap(1, "0.90/0.95")

    overhaul = from_paper(worn, done={"2.ring-1": Verdict.RENEW, "2.ring-2": Verdict.REUSE})

    assert verdict_of(overhaul, "2.ring-2").machine is Verdict.RENEW
    assert verdict_of(overhaul, "2.ring-2").verdict is Verdict.REUSE
    assert verdict_of(overhaul, "2.ring-1").verdict is Verdict.RENEW
    assert verdict_of(overhaul, "2.ring-3").decision is None


def test_a_part_renewed_by_the_paper_alone_takes_no_set_along() -> None:
    overhaul = from_paper(done={"2.ring-1": Verdict.RENEW})

    assert [v.part.ref for v in judge_overhaul(overhaul) if v.verdict is Verdict.RENEW] == ["2.ring-1"]


def test_its_seal_covers_where_it_stood_what_was_found_and_what_was_done() -> None:
    content = content_for(from_paper(done={"2.ring-1": Verdict.RENEW}), Meaning.FROM_PAPER)

    assert content["paper"] == "“7” of old.csv"
    assert {"as_found", "as_fitted", "verdicts", "decisions", "fittings"} <= set(content)
