"""Gauging, as found and as fitted: a page for each place, and the entry it keeps."""

from collections.abc import Mapping
from datetime import UTC, datetime
from functools import partial
from urllib.parse import urlencode

from fastapi import APIRouter, Response
from starlette.datastructures import FormData

from app.actions.gauging import last_reading, preview
from app.actions.instruments import refuse_overdue, today
from app.actions.keeping import Kept, keep_entry
from app.actions.overhauls import LONGEST_ID, SHORTEST_ID, overhaul
from app.domain.entries import Typed, find_place
from app.domain.errors import InputRefused, NotThere, SlipAsked
from app.domain.overhaul import Overhaul, Phase
from app.domain.people import Right
from app.domain.phases import phase_of
from app.domain.preferences import shown_in
from app.domain.readings import SEEN, Kind, Occasion, Place, place_at
from app.reports.part_tags import stage_layout
from app.web.gauge_bands import basis_of, lay_bands
from app.web.gauge_page import GaugePage, empty_words, first_place, gauge_page, occasion_of
from app.web.gauge_places import place_href
from app.web.gauge_round import ENTERED_IN, Round, begin_round
from app.web.gauge_scale import box_for, scale_for
from app.web.kept import just_kept, kept_here
from app.web.look_again import SECOND, look_again
from app.web.overhaul_strip import PAGES, safe_again, strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, made_at, many, one

router = APIRouter()
EMPTY = {
    "value": "", "goes": "", "does_not_go": "", "set_size": "", "reason": "", "instrument": "", "temperature": "",
    "measured_by": "", "measured_at": "", "correction": "",
}  # fmt: skip


@router.get("/overhauls/{overhaul_id}")
def open_at_its_phase(visit: VisitNow, overhaul_id: int) -> Response:
    """Lead to the page of the phase that the overhaul is in."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    return go(visit, f"/overhauls/{overhaul_id}/{PAGES[phase_of(found)]}")


@router.get("/overhauls/{overhaul_id}/{base:gauging_round}")
def next_place(visit: VisitNow, overhaul_id: int, base: str, paper: str = "") -> Response:
    """Lead to the next place without an entry; when there is none, to what comes after the round."""
    visit.person.must(Right.READ)
    found = overhaul(visit.book, overhaul_id)
    if visit.person.may(Right.GAUGE) and safe_again(visit, found):
        return go(visit, f"/overhauls/{overhaul_id}/safe-again")
    one_round = begin_round(found, occasion_of(base))
    place = one_round.next_place()
    if place is None or phase_of(found) is Phase.MAKE_SAFE:
        after = {"fit": "box-up", "gauge": "gauged"}[base] if place is None else "safe"
        return go(visit, f"/overhauls/{overhaul_id}/{after}")
    href = place_href(one_round, one_round.part(place.part), place)
    return go(visit, with_words(href, {"paper": paper}))


@router.get("/overhauls/{overhaul_id}/{base:gauging_round}/{ref}")
def next_of_part(visit: VisitNow, overhaul_id: int, base: str, ref: str) -> Response:
    """Lead to the part's next place without an entry, else to its condition."""
    visit.person.must(Right.READ)
    one_round = begin_round(overhaul(visit.book, overhaul_id), occasion_of(base))
    part = one_round.part(ref)
    place = next((p for p in one_round.missing() if p.part == ref), Place(ref, SEEN))
    return go(visit, place_href(one_round, part, place))


@router.get("/overhauls/{overhaul_id}/{base:gauging_round}/{ref}/{characteristic}")
def show_place(
    visit: VisitNow, overhaul_id: int, base: str, ref: str, characteristic: str,
    level: int = 0, axis: int = 0, how: str = "", kept: str = "", paper: str = "", look: str = "",
) -> Response:  # fmt: skip
    """Show one place to gauge."""
    visit.person.must(Right.READ)
    one_round = begin_round(_as_read(visit, overhaul_id), occasion_of(base))
    place = _place(one_round, ref, characteristic, level, axis)
    return _show(visit, one_round, place, how, kept=kept, paper=paper, look=look)


@router.post("/overhauls/{overhaul_id}/readings")
def keep(visit: VisitNow, overhaul_id: int, form: Form) -> Response:
    """Keep one entry and go on to the next place; what is refused comes back as typed."""
    visit.person.must(Right.GAUGE)
    try:
        kept = keep_entry(visit.book, visit.person, overhaul_id, partial(typed_now, visit, form), visit.now)
    except InputRefused as refusal:
        found = _as_read(visit, overhaul_id)
        return _again(visit, found, _typed(found, form), form, refusal)
    return go(visit, next_href(kept, one(form, "paper")))


@router.get("/_fragments/overhauls/{overhaul_id}/verdict")
def show_verdict(visit: VisitNow, overhaul_id: int) -> Response:
    """Show the verdict that a typed figure would give, marked as not kept."""
    visit.person.must(Right.GAUGE)
    found = _as_read(visit, overhaul_id)
    form = FormData([(name, value) for name, value in visit.request.query_params.multi_items()])
    typed = _typed(found, form)
    return page(visit, "gauge/_judged.html", 200, **_previewed(visit, found, typed))


def _again(visit: Visit, found: Overhaul, typed: Typed, form: FormData, refusal: InputRefused) -> Response:
    """Show the page again as it was typed: with what is refused, or what is asked about beside room for a reason."""
    return _show(
        visit, begin_round(found, typed.occasion), typed.place, typed.kind, form, refusal.fields,
        paper=one(form, "paper"), is_asked=isinstance(refusal, SlipAsked), look=one(form, "look"),
    )  # fmt: skip


def _as_read(visit: Visit, overhaul_id: int) -> Overhaul:
    """Give an overhaul with its sizes in the unit that whoever reads it puts first."""
    return shown_in(overhaul(visit.book, overhaul_id), visit.preferences.unit)


def typed_now(visit: Visit, form: FormData, found: Overhaul) -> Typed:
    """Read the entry form of this moment; InputRefused for its time, or for an instrument that is not in date."""
    typed = _typed(found, form, _moment(visit, form), made_at(visit, form))
    day = (typed.measured_at or visit.now).astimezone(visit.zone).date()
    refuse_overdue(visit.book, typed.instrument.strip(), day, visit.settings.overdue_instruments)
    return typed


def next_href(kept: Kept, paper: str) -> str:
    """Give the address of the next place, naming what was kept."""
    reading, overhaul_id = kept.reading, kept.overhaul.id
    one_round = begin_round(kept.overhaul, reading.occasion)
    stays = reading.is_second_look or reading.kind is Kind.TAKEN_BACK
    place = reading.place if stays else one_round.next_place(one_round.part(reading.place.part))
    words = {"kept": reading.id, "paper": paper}
    if place is None:
        return with_words(f"/overhauls/{overhaul_id}/{'box-up' if one_round.base == 'fit' else 'gauged'}", words)
    return with_words(place_href(one_round, one_round.part(place.part), place), words)


def with_words(href: str, words: dict[str, str]) -> str:
    """Add words to an address, those that say anything."""
    said = urlencode({name: word for name, word in words.items() if word})
    return f"{href}{'&' if '?' in href else '?'}{said}" if said else href


def _show(
    visit: Visit, one_round: Round, place: Place, how: str, form: FormData | None = None,
    errors: dict[str, str] | None = None, kept: str = "", paper: str = "", is_asked: bool = False,
    look: str = "",
) -> Response:  # fmt: skip
    """Show the gauging page of a place."""
    part = one_round.part(place.part)
    shown = gauge_page(one_round, part, place, how)
    stage, again = one_round.overhaul.sheet.stage(part.stage), look_again(shown, visit.person.name, look)
    if stage is None:
        raise NotThere("This overhaul has no such stage.")
    return page(
        visit, "gauge/page.html", 422 if errors else 200,
        strip=strip(visit, one_round.overhaul, part.stage),
        layout=stage_layout(one_round.overhaul, stage, one_round.verdicts, part.ref, one_round.base),
        shown=shown, typed=_typed_fields(shown, form), chosen=many(form, "findings") if form else [],
        empty=empty_words(shown, visit.now),
        errors=errors or {}, paper=paper, is_asked=is_asked,
        kept=just_kept(one_round, kept, visit.person.name) or kept_here(one_round, place, visit.person.name),
        instruments=today(visit.book, visit.today), again=again,
        read_only=_read_only(visit, one_round, part.ref), bands={} if again.is_look else _bands(visit, shown),
        **_judged(visit, shown, one_round),
    )  # fmt: skip


def _read_only(visit: Visit, one_round: Round, ref: str) -> str:
    """Say why nothing is entered here; nothing where it is."""
    if not visit.person.may(Right.GAUGE):
        return "A fitter or a chief engineer keeps readings."
    phase = phase_of(one_round.overhaul)
    if phase not in ENTERED_IN[one_round.occasion]:
        return f"The overhaul is at “{phase}”."
    held = one_round.held(ref)
    return f"{held}." if held else ""


def _bands(visit: Visit, shown: GaugePage) -> dict[str, object]:
    """Lay the bands of the verdict out where something is entered."""
    if _read_only(visit, shown.round, shown.part.ref):
        return {}
    return lay_bands(shown.round, shown.place, shown.kind, shown.last_conditions[1], visit.now)


def _judged(visit: Visit, shown: GaugePage, one_round: Round, is_kept: bool = True) -> dict[str, object]:
    """Collect the verdict box and the scale for what stands."""
    last = last_reading(visit.book, one_round.overhaul, shown.place) if shown.characteristic else None
    last_mm = (last.size_mm or last.goes_mm) if last else None
    box = box_for(shown.verdict, shown.place, bool(shown.rows))
    scale = scale_for(shown.part, shown.characteristic, shown.kept, shown.verdict.own, last_mm, is_kept)
    return {
        "part_verdict": shown.verdict, "reasons": box.reasons, "also": box.also, "advice": box.advice,
        "source": box.source, "scale": scale,
        "last": last, "is_kept": is_kept,
    }  # fmt: skip


def _previewed(visit: Visit, found: Overhaul, typed: Typed) -> dict[str, object]:
    """Judge what is typed as if it were kept; what cannot be read is judged as it stands."""
    try:
        would_be, _ = preview(found, typed, visit.person.name, visit.now)
        is_kept = False
    except InputRefused:
        would_be, is_kept = found, True
    one_round = begin_round(would_be, typed.occasion)
    shown = gauge_page(one_round, one_round.part(typed.place.part), typed.place, typed.kind)
    judged_of = "|".join((typed.value, typed.goes, typed.does_not_go, typed.set_size, typed.temperature))
    about = {"shown": shown, "overhaul": found, "judged_of": judged_of, "basis": basis_of(found)}
    return about | _judged(visit, shown, one_round, is_kept)


def _typed_fields(shown: GaugePage, form: FormData | None) -> dict[str, str]:
    """Fill the fields: what was typed and refused, else the conditions as last entered."""
    if form is not None:
        return {name: one(form, name) for name in EMPTY} | {"correction": _why(form)}
    instrument, temperature = shown.last_conditions
    return EMPTY | {"instrument": instrument, "temperature": temperature, "set_size": shown.set_size}


def _place(one_round: Round, ref: str, characteristic: str, level: int, axis: int) -> Place:
    """Find the place an address or form names; NotThere when the part has none such."""
    part = one_round.part(ref)
    place = first_place(part, characteristic, level, axis)
    if place is None:
        raise NotThere(f"{part.item} {part.name} has no such place to gauge.")
    return place


def _typed(found: Overhaul, form: FormData, measured_at: datetime | None = None, made: datetime | None = None) -> Typed:
    """Read the entry form into what was typed."""
    fields = dict(form)  # it is asked for each by name
    occasion = Occasion.AS_FITTED if one(fields, "occasion") == Occasion.AS_FITTED else Occasion.AS_FOUND
    place = Place(one(fields, "part"), one(fields, "characteristic"), one(fields, "level"), one(fields, "axis"))
    find_place(found, place)
    place = place_at(place.part, place.characteristic, place.level, place.axis)  # one that is there, and so for good
    kind = one(fields, "kind")
    words = {name: one(fields, name) for name in EMPTY if name != "measured_at"} | {"correction": _why(fields)}
    identifier = one(fields, "id")
    if not SHORTEST_ID <= len(identifier) <= LONGEST_ID:
        raise NotThere("This form has no identifier: load its page again.")
    return Typed(
        id=identifier, place=place, occasion=occasion, kind=kind, findings=tuple(many(form, "findings")),
        unit=one(fields, "unit"), measured_at=measured_at, made_at=made, takes_back=one(fields, "takes_back"),
        is_second_look=one(fields, "look") == SECOND, seen=one(fields, "seen") if "seen" in fields else None,
        **words,
    )  # fmt: skip


def _why(form: Mapping[str, object]) -> str:
    """Read why an entry is put right: in the person's own words, or as chosen."""
    return (one(form, "correction_words") or one(form, "correction")).strip()


def _moment(visit: Visit, form: FormData) -> datetime | None:
    """Read the time of measuring: given in the site's own time, or when an entry was made that waited on a tablet."""
    typed = one(form, "measured_at")
    if not typed:
        return made_at(visit, form)
    try:
        return datetime.fromisoformat(typed).replace(tzinfo=visit.zone).astimezone(UTC)
    except (ValueError, OverflowError):
        raise InputRefused({"measured_at": "Give date and time as 2026-11-24 14:11."}) from None
