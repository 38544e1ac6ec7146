"""Deciding: every stage on one page, what is not reuse first, and the chief engineer's decisions."""

from collections.abc import Collection
from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.outlooks import advised, outlooks
from app.actions.overhauls import TypedDecision, decide, overhaul
from app.actions.people import everybody
from app.domain.decisions import choices, needs_concession
from app.domain.errors import InputRefused, Sealed
from app.domain.limits import Part
from app.domain.outlook import Outlook
from app.domain.overhaul import Meaning, Overhaul
from app.domain.overhaul_verdicts import by_weight, judge_overhaul, to_settle
from app.domain.part_verdicts import PartVerdict
from app.domain.parts_list import ALWAYS, order_line, parts_to_order
from app.domain.people import Right, Role
from app.domain.phases import holds_before, phase_of
from app.domain.preferences import shown_in
from app.domain.readings import Occasion
from app.domain.verdicts import Verdict
from app.domain.working import new_rings_words
from app.reports.part_tags import stage_layout, tag_figure
from app.reports.record_sheets import looks_of
from app.web.gauge_round import begin_round
from app.web.look_again import differing_links
from app.web.overhaul_strip import strip
from app.web.page import go, page
from app.web.photos import shown_photos
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()


@dataclass(frozen=True)
class Advised:
    """A part that may stay as it is, and why its renewal or rework is advised all the same."""

    name: str
    words: str
    order: str
    what: str  # RENEW or REWORK, by what its limit leads to


@dataclass(frozen=True)
class Row:
    """One line of the review: a part, or a set that goes as one."""

    ref: str
    item: str
    name: str
    figures: str
    lead: PartVerdict
    members: tuple[PartVerdict, ...]
    hint: str = ""  # what new rings alone would not do

    @property
    def reason(self) -> str:
        """Why the verdict is what it is."""
        return self.lead.set_reason or self.lead.deciding.reason

    @property
    def refs(self) -> tuple[str, ...]:
        """The parts of the line."""
        return tuple(member.part.ref for member in self.members)

    def is_first(self, looked_into: Collection[str]) -> bool:
        """Whether the line stands before those that need no look: advised, or with two looks that differ."""
        is_sound = self.lead.verdict is Verdict.REUSE and self.lead.decision is None
        return not is_sound or any(ref in looked_into for ref in (self.ref, *self.refs))

    @property
    def choices(self) -> tuple[Verdict, ...]:
        """What may be chosen here."""
        absolute = next((member for member in self.members if member.is_absolute), self.lead)
        return choices(absolute)

    @property
    def conceding(self) -> tuple[Verdict, ...]:
        """The choices that need a concession."""
        return tuple(choice for choice in self.choices if needs_concession(self.lead, choice))


@router.get("/overhauls/{overhaul_id}/decide")
def show(visit: VisitNow, overhaul_id: int, item: str = "") -> Response:
    """Show every verdict, what is not reuse first."""
    visit.person.must(Right.READ)
    return _show(visit, overhaul(visit.book, overhaul_id), item)


@router.post("/overhauls/{overhaul_id}/decisions")
def put_decision(visit: VisitNow, overhaul_id: int, form: Form) -> Response:
    """Put a decision beside the first verdict; what is refused comes back as typed."""
    fields = dict.fromkeys(TypedDecision.__dataclass_fields__, "") | texts(form)
    typed = TypedDecision(**{name: fields[name] for name in TypedDecision.__dataclass_fields__})
    try:
        decide(visit.book, visit.person, overhaul_id, typed, visit.zone, visit.now)
    except InputRefused as refusal:
        return _show(visit, overhaul(visit.book, overhaul_id), typed.ref, fields, refusal.fields)
    except Sealed:
        return go(visit, f"/overhauls/{overhaul_id}/decide?done=stands#row-{typed.ref}")
    return go(visit, f"/overhauls/{overhaul_id}/decide?done=decision#row-{typed.ref}")


def rows_of(found: Overhaul, verdicts: tuple[PartVerdict, ...]) -> tuple[Row, ...]:
    """Lay the verdicts out for review; a set that is renewed is one line."""
    rows: dict[str, Row] = {}
    for verdict in by_weight(verdicts):
        ref = verdict.with_set.ref if verdict.with_set else verdict.part.ref
        if ref in rows:
            continue
        members = tuple(v for v in verdicts if verdict.with_set and v.with_set == verdict.with_set) or (verdict,)
        rows[ref] = _row(found, ref, members)
    return tuple(rows.values())


def _row(found: Overhaul, ref: str, members: tuple[PartVerdict, ...]) -> Row:
    """Lay one line out."""
    lead = min(members, key=lambda member: (member.own is not Verdict.RENEW, member.part.index))
    figures = ", ".join(figure for member in members if (figure := tag_figure(found, member)))
    is_renewed = lead.verdict is Verdict.RENEW
    hint = next((words for m in members if is_renewed and (words := new_rings_words(found, m.part))), "")
    if lead.with_set is None:
        return Row(ref, lead.part.item, lead.part.name, figures, lead, members, hint)
    item = f"{members[0].part.item} to {members[-1].part.item}"
    return Row(ref, item, lead.with_set.name, figures, lead, members, hint)


def _show(
    visit: Visit,
    found: Overhaul,
    item: str,
    typed: dict[str, str] | None = None,
    errors: dict[str, str] | None = None,
) -> Response:
    """Show the review page; `item` is the line being decided."""
    found = shown_in(found, visit.preferences.unit)
    verdicts = judge_overhaul(found)
    shown = strip(visit, found)
    may_decide = visit.person.may(Right.DECIDE) and shown.phase.value == "decide"
    advice, differing = _advice(visit, found, verdicts), differing_links(begin_round(found, Occasion.AS_FOUND))
    return page(
        visit, "overhaul/decide.html", 422 if errors else 200,
        strip=shown, stages=_stages(found, verdicts, {*advice, *differing}), item=item, advice=advice,
        differing=differing,
        typed=typed or {}, errors=errors or {},
        to_order=parts_to_order(found, verdicts), always=ALWAYS, unsettled=to_settle(verdicts), may_decide=may_decide,
        holds=holds_before(found, Meaning.DECIDED), signature=found.signature(Meaning.DECIDED),
        decided=len(found.decisions), read=len(verdicts), seconds=_seconds(visit), phase=phase_of(found),
        photos=shown_photos(found),
        looks=[(what, said) for part in found.parts for what, said, _ in looks_of(found, part)],
    )  # fmt: skip


def _advice(visit: Visit, found: Overhaul, verdicts: tuple[PartVerdict, ...]) -> dict[str, Advised]:
    """The parts that may stay as they are now and whose renewal or rework is advised before the next opening."""
    ahead = advised(outlooks(visit.book, found))
    staying = [v.part for v in verdicts if v.verdict is Verdict.REUSE and v.part.ref in ahead]
    return {part.ref: _advised(found, part, ahead[part.ref]) for part in staying}


def _advised(found: Overhaul, part: Part, ahead: Outlook) -> Advised:
    """Say what is advised for one part; only a renewal is ordered."""
    order = orders_named(found, part) if ahead.limit.outcome is Verdict.RENEW else ""
    return Advised(f"{part.item} {part.name}", ahead.words, order, ahead.limit.outcome.word)


def orders_named(found: Overhaul, part: Part) -> str:
    """Name what would be ordered for a part, with its number."""
    part_set = found.sheet.set_of(part.ref)
    order = part_set.order if part_set else order_line(part, "")
    return f"{order.name}, {order.number}" if order else "not on the sheet"


def _stages(
    found: Overhaul, verdicts: tuple[PartVerdict, ...], looked_into: Collection[str]
) -> list[dict[str, object]]:
    """Each stage with its small drawing, its counts and its lines."""
    stages = []
    for stage in found.stages:
        mine = tuple(verdict for verdict in verdicts if verdict.part.stage == stage.number)
        counts = [(word, sum(v.verdict is word for v in mine)) for word in Verdict]
        rows = rows_of(found, mine)
        stages.append({
            "stage": stage, "layout": stage_layout(found, stage, verdicts),
            "counts": [(word.value, count) for word, count in counts if count],
            "rows": [row for row in rows if row.is_first(looked_into)],
            "sound": [row for row in rows if not row.is_first(looked_into)],
        })  # fmt: skip
    return stages


def _seconds(visit: Visit) -> list[str]:
    """The other chief engineers, one of whom signs a concession too."""
    return [p.name for p in everybody(visit.book) if p.role is Role.CHIEF and p.is_active and p.id != visit.person.id]
