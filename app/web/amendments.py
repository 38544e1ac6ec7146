"""Amendments of a signed record: proposed on a page of their own, and signed or declined there by another person."""

from dataclasses import fields

from fastapi import APIRouter, Response

from app.actions.amendments import (
    TypedAmendment,
    answer_amendment,
    propose_amendment,
    told_in_words,
    what_is_read,
)
from app.actions.overhauls import overhaul
from app.domain.amended_verdicts import verdicts_by
from app.domain.amending import amendable, as_read, is_sealed, own_way, ways
from app.domain.errors import InputRefused, Sealed
from app.domain.findings import Finding, findings_for
from app.domain.numbers import Length
from app.domain.overhaul import Overhaul
from app.domain.people import Right
from app.domain.readings import Kind, Reading
from app.web.overhaul_strip import strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, many, readable, texts

router = APIRouter()
ELSE = "else"  # chosen in the place of an entry: something else on the record
WAYS = {
    Kind.SIZE: "One reading",
    Kind.PAIR: "Goes / does not go",
    Kind.DIAL: "Dial",
    Kind.SEEN: "Seen by eye",
    Kind.CANNOT: "Cannot be gauged",
}
NAMES = tuple(field.name for field in fields(TypedAmendment) if field.name != "findings")


@router.get("/overhauls/{overhaul_id}/amendments")
def show(visit: VisitNow, overhaul_id: int, reading: str = "", kind: str = "") -> Response:
    """Show every amendment, and the form for a new one where an entry is chosen."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    chosen = _chosen(found, readable(reading))
    typed = {**_as_it_stands(found, chosen), "kind": kind} if chosen else {}
    return _page(visit, found, readable(reading), typed, {}, chosen.findings if chosen else ())


@router.post("/overhauls/{overhaul_id}/amendments")
def propose(visit: VisitNow, overhaul_id: int, form: Form) -> Response:
    """Propose one; what is refused comes back as typed."""
    typed = {name: value for name, value in texts(form).items() if name in NAMES}
    seen = tuple(many(form, "findings"))
    wanted = TypedAmendment(findings=seen, **typed)
    try:
        number = propose_amendment(visit.book, visit.person, overhaul_id, wanted, visit.now)
    except InputRefused as refusal:
        found = overhaul(visit.book, overhaul_id)
        return _page(visit, found, typed.get("reading") or ELSE, typed, refusal.fields, seen)
    return go(visit, f"/overhauls/{overhaul_id}/amendments?done=amended#amendment-{number}")


@router.post("/overhauls/{overhaul_id}/amendments/{amendment_id}")
def answer(visit: VisitNow, overhaul_id: int, amendment_id: int, form: Form) -> Response:
    """Sign or decline one."""
    typed = texts(form)
    try:
        answer_amendment(visit.book, visit.person, overhaul_id, amendment_id, typed, visit.now)
    except InputRefused as refusal:
        found = overhaul(visit.book, overhaul_id)
        return _page(visit, found, "", {**typed, "of": str(amendment_id)}, refusal.fields)
    except Sealed:
        return go(visit, f"/overhauls/{overhaul_id}/amendments?done=stands#amendment-{amendment_id}")
    return go(visit, f"/overhauls/{overhaul_id}/amendments?done=amendment-answered#amendment-{amendment_id}")


def _page(
    visit: Visit,
    found: Overhaul,
    choice: str,
    typed: dict[str, str],
    errors: dict[str, str],
    seen: tuple[str, ...] = (),
) -> Response:
    """Show the page of an overhaul's amendments."""
    may_propose = visit.person.may(Right.GAUGE) and is_sealed(found)
    entries = [(each.id, f"{what_is_read(found, each)}: {told_in_words(found, each)}") for each in amendable(found)]
    chosen = _chosen(found, choice)
    way = _way(found, chosen, typed.get("kind", "")) if chosen else None
    return page(
        visit, "amendments/page.html", 422 if errors else 200, strip=strip(visit, found),
        amendments=tuple(reversed(found.amendments)), is_sealed=is_sealed(found), may_propose=may_propose,
        entries=entries if may_propose else [], chosen=chosen, is_else=choice == ELSE, way=way.value if way else "",
        ways=[(each, WAYS[each]) for each in ways(found, chosen)] if chosen else [],
        findings=_findings(found, chosen) if chosen and way is Kind.SEEN else (), seen=seen,
        told=told_in_words(found, chosen) if chosen else "",
        verdicts={each.id: verdicts_by(found, each) for each in found.amendments},
        what=what_is_read(found, chosen) if chosen else "", parts=[("", "the record as a whole"), *_parts(found)],
        typed=dict.fromkeys(NAMES, "") | typed, errors=errors, may_sign=visit.person.may(Right.SIGN_DECIDED),
    )  # fmt: skip


def _parts(found: Overhaul) -> list[tuple[str, str]]:
    """The parts of the opening to choose from."""
    return [(part.ref, f"{part.item} {part.name}") for part in found.parts]


def _way(found: Overhaul, chosen: Reading, asked: str) -> Kind:
    """The kind that an entry is amended to: as asked; else its own, and of what could not be gauged the first."""
    may = ways(found, chosen)
    own = may[0] if chosen.kind is Kind.CANNOT else own_way(chosen)
    return Kind(asked) if asked in may else own


def _findings(found: Overhaul, chosen: Reading) -> tuple[Finding, ...]:
    """What can be seen on the part of an entry by eye."""
    part = found.sheet.part(chosen.place.part)
    return findings_for(part) if part else ()


def _chosen(found: Overhaul, reading: str) -> Reading | None:
    """The entry that is to be amended, as it is read now."""
    entry = next((each for each in amendable(found) if each.id == reading), None)
    return as_read(found, entry) if entry else None


def _as_it_stands(found: Overhaul, reading: Reading) -> dict[str, str]:
    """What the form begins with: everything as it is read now."""
    lengths = {name: getattr(reading, name) for name in ("value", "goes", "does_not_go", "set_size")}
    units = {length.unit.value for length in lengths.values() if isinstance(length, Length)}
    warm = "" if reading.temperature_c is None else str(reading.temperature_c)
    typed = {name: length.typed if length else "" for name, length in lengths.items()}
    beside = {"reading": reading.id, "instrument": reading.instrument, "temperature": warm}
    beside["cannot"] = reading.reason if reading.kind is Kind.CANNOT else ""
    return typed | beside | {"unit": next(iter(units), _unit(found, reading))}


def _unit(found: Overhaul, reading: Reading) -> str:
    """The unit that a place is gauged in, where its entry has none."""
    part = found.sheet.part(reading.place.part)
    characteristic = part.characteristic(reading.place.characteristic) if part else None
    return (characteristic.unit if characteristic else found.sheet.unit).value
