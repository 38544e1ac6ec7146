"""What goes in as an overhaul is boxed up: renewed parts and sets with their numbers, sizes a cylinder is made to."""

from dataclasses import replace
from datetime import datetime

from app.domain.errors import InputRefused, NotThere, NumberRefused, UnitMismatch
from app.domain.holds import FittedWork, fitted_work, require_order
from app.domain.limits import Part, PartKind
from app.domain.numbers import Length, parse_length
from app.domain.overhaul import Fitting, Overhaul, Phase
from app.domain.people import Person, Right
from app.domain.phases import require_phase
from app.store.book import Book
from app.store.facts import save_fitting
from app.store.overhauls import get_overhaul

LONGEST_VALUE = 120


def enter_fitting(book: Book, by: Person, overhaul_id: int, ref: str, typed: dict[str, str], now: datetime) -> None:
    """Enter a renewed part as it goes in, or the size a rework made a position to; sent twice, it is entered once."""
    by.must(Right.GAUGE)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        require_phase(found, Phase.BOX_UP)
        require_order(found, ref)
        fitting = _read(found, work_at(found, ref), ref, typed, by, now)
        last = found.fitting(ref)
        if last is None or replace(fitting, at=last.at) != last:
            save_fitting(writing, overhaul_id, fitting)


def work_at(found: Overhaul, ref: str) -> FittedWork:
    """Find the work for which something is entered: a renewed part or set, or a reworked cylinder."""
    for work in fitted_work(found):
        own_ref = work.found.with_set.ref if work.found.with_set else work.part.ref
        if own_ref == ref and (work.is_renewed or work.part.kind is PartKind.CYLINDER):
            return work
    raise NotThere("Nothing is fitted there in this overhaul.")


def _read(found: Overhaul, work: FittedWork, ref: str, typed: dict[str, str], by: Person, now: datetime) -> Fitting:
    """Read what was typed, or name every field that is not as it should be."""
    refused: dict[str, str] = {}
    made_to = _made_to(found, work.part, typed.get("made_to", ""), refused)
    number, batch = typed.get("number", "").strip(), typed.get("batch", "").strip()
    if work.is_renewed and not number:
        refused["number"] = "Enter the part number that stands on the new part."
    if not work.is_renewed and made_to is None:
        refused.setdefault("made_to", f"Nothing is typed. Type the size in {found.sheet.unit}, such as 78.25.")
    refused |= {
        name: f"At most {LONGEST_VALUE} characters."
        for name, text in (("number", number), ("batch", batch))
        if len(text) > LONGEST_VALUE
    }
    refused |= _wrong_port(found, work.part, number)
    if refused:
        raise InputRefused(refused)
    return Fitting(ref, number, batch, by.name, now, made_to)


def _wrong_port(found: Overhaul, part: Part, number: str) -> dict[str, str]:
    """Refuse a valve of the other port: a suction valve in a delivery port builds dangerous pressure.

    Source: Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 376.
    """
    others = [each for each in found.sheet.parts if part.port and each.port not in ("", part.port)]
    wrong = next((each for each in others if number in [order.number for order in each.orders]), None)
    if wrong is None or number in [order.number for order in part.orders]:
        return {}
    words = f"{number} is a {wrong.port} valve's. Never fit it in a {part.port} port: it builds dangerous pressure."
    return {"number": words}


def _made_to(found: Overhaul, part: Part, typed: str, refused: dict[str, str]) -> Length | None:
    """Read the size a cylinder was made to, where one is given; wear counts from it, so it has to be possible."""
    bore = next((each for each in part.characteristics if each.base_size is not None), None)
    if not typed.strip() or bore is None:
        return None
    try:
        size = parse_length(typed, found.sheet.unit)
    except (NumberRefused, UnitMismatch) as refusal:
        refused["made_to"] = str(refusal)
        return None
    lowest_mm, highest_mm = bore.possible_mm
    if not lowest_mm <= size.mm <= highest_mm:
        refused["made_to"] = f"{size.typed} cannot be: this bore is {bore.base_size.typed if bore.base_size else ''}."
    return size
