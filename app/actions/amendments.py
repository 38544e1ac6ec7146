"""Amending what was signed: a correction is proposed, and another person, a chief engineer, signs or declines it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from app.actions.people import confirm_password
from app.domain.amended_verdicts import verdicts_by
from app.domain.amending import amendment_content, require_amendable, waiting
from app.domain.amendments import Amendment, Answer, Outcome, require_answer_by_another
from app.domain.canonical import canonical, digest
from app.domain.entries import LONGEST_REASON, SHORTEST_REASON, Typed, read_entry
from app.domain.errors import InputRefused, NotThere
from app.domain.findings import find_finding
from app.domain.overhaul import Overhaul
from app.domain.people import Person, Right
from app.domain.readings import Kind, Reading
from app.store.amendments import save_amendment, save_answer
from app.store.book import Book
from app.store.overhauls import get_overhaul

SIZES = ("value", "goes", "does_not_go", "set_size")
LONGEST_TEXT = 500
CHANGED = {Kind.SEEN: ("findings",), Kind.CANNOT: ()}  # by the kind that an entry becomes; of all others:
MEASURED = (*SIZES, "instrument", "temperature_c")
FIRST_FIELD = {Kind.SEEN: "findings", Kind.CANNOT: "cannot", Kind.PAIR: "goes", Kind.GOES: "goes"}


@dataclass(frozen=True)
class TypedAmendment:
    """An amendment as its form sends it: of an entry, by its fields; of anything else, in words."""

    reading: str = ""
    kind: str = ""  # that the entry is to be of; nothing where it stays
    cannot: str = ""  # why it cannot be gauged
    value: str = ""
    goes: str = ""
    does_not_go: str = ""
    set_size: str = ""
    unit: str = ""
    instrument: str = ""
    temperature: str = ""
    findings: tuple[str, ...] = ()
    part: str = ""
    what: str = ""
    old: str = ""
    new: str = ""
    reason: str = ""


def propose_amendment(book: Book, by: Person, overhaul_id: int, typed: TypedAmendment, now: datetime) -> int:
    """Propose an amendment; the same one sent twice is proposed once."""
    by.must(Right.GAUGE)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        same = [each for each in found.amendments if each.is_open and not each.reading and _is_same(each, typed)]
        if same:
            return same[0].id
        reading = require_amendable(found, typed.reading)
        read = _of_reading(found, reading, typed, by, now) if reading else _in_words(found, typed)
        if refused := _refused_words(typed):
            raise InputRefused(refused)
        amendment = replace(read, reason=typed.reason.strip(), person=by.name, at=now)
        before = waiting(found, reading.id) if reading else None
        if before is not None:
            return _sent_again(before, amendment)
        return save_amendment(writing, overhaul_id, amendment)


def _sent_again(before: Amendment, amendment: Amendment) -> int:
    """Give the amendment that waits, where it is sent again; another of its entry is refused until it is answered."""
    if (before.new, before.reason, before.person) != (amendment.new, amendment.reason, amendment.person):
        raise InputRefused({"waits": f"An amendment to {before.new} waits for its signature. It is answered first."})
    return before.id


def answer_amendment(
    book: Book, by: Person, overhaul_id: int, amendment_id: int, typed: Mapping[str, str], now: datetime
) -> None:
    """Sign an amendment with the password again, or decline it and say why; a seal of the site either way."""
    by.must(Right.SIGN_DECIDED)
    outcome, words = _outcome(typed)
    confirm_password(book, by, typed.get("password", ""), now)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        amendment = find_amendment(found, amendment_id)
        require_answer_by_another(amendment, by.name)
        verdicts = [each.named for each in verdicts_by(found, amendment)]
        content = canonical(amendment_content(found, amendment, outcome, words, verdicts))
        answer = Answer(outcome, by.name, now, words, digest(content))
        save_answer(writing, overhaul_id, amendment, answer, content)


def find_amendment(overhaul: Overhaul, amendment_id: int) -> Amendment:
    """Find an amendment of an overhaul."""
    found = next((each for each in overhaul.amendments if each.id == amendment_id), None)
    if found is None:
        raise NotThere("This overhaul has no such amendment.")
    return found


def _outcome(typed: Mapping[str, str]) -> tuple[Outcome, str]:
    """Read the answer; who declines says why."""
    words = typed.get("words", "").strip()
    if typed.get("outcome") not in list(Outcome):
        raise InputRefused({"outcome": "Choose to sign it or to decline it."})
    outcome = Outcome(typed["outcome"])
    least = SHORTEST_REASON if outcome is Outcome.DECLINED else 0
    if not least <= len(words) <= LONGEST_REASON:
        raise InputRefused({"words": f"Say why, in {SHORTEST_REASON} to {LONGEST_REASON} characters."})
    return outcome, words


def _refused_words(typed: TypedAmendment) -> dict[str, str]:
    """Refuse an amendment that does not say why."""
    is_said = SHORTEST_REASON <= len(typed.reason.strip()) <= LONGEST_REASON
    return {} if is_said else {"reason": f"Say why, in {SHORTEST_REASON} to {LONGEST_REASON} characters."}


def _is_same(amendment: Amendment, typed: TypedAmendment) -> bool:
    """Whether the same words wait for an answer already."""
    told = (amendment.part, amendment.what, amendment.old, amendment.new, amendment.reason)
    return told == tuple(each.strip() for each in (typed.part, typed.what, typed.old, typed.new, typed.reason))


def _of_reading(found: Overhaul, reading: Reading, typed: TypedAmendment, by: Person, now: datetime) -> Amendment:
    """Read an entry as it is to be read, by the rules of every entry; one that changes nothing is refused."""
    amended = _amended(reading, _read_again(found, reading, typed, by, now))
    if _is_alike(amended, reading):
        raise InputRefused({FIRST_FIELD.get(amended.kind, "value"): "This is what stands there already."})
    what, told = what_is_read(found, reading), (_told(found, reading), _told(found, amended))
    return Amendment(0, reading.place.part, reading.id, what, *told, "", by.name, now, amended)


def _read_again(found: Overhaul, reading: Reading, typed: TypedAmendment, by: Person, now: datetime) -> Reading:
    """Read what was typed as an entry at the same place; why it cannot be gauged is asked beside its own field."""
    kind = typed.kind or reading.kind.value
    is_cannot = kind == Kind.CANNOT
    entry = Typed(
        reading.id, reading.place, reading.occasion, kind, typed.value, typed.goes, typed.does_not_go, typed.set_size,
        typed.findings, typed.cannot if is_cannot else typed.reason, typed.instrument, typed.temperature, typed.unit,
    )  # fmt: skip
    try:
        return read_entry(found, entry, by.name, now)
    except InputRefused as refusal:
        named = {"cannot" if is_cannot and name == "reason" else name: why for name, why in refusal.fields.items()}
        raise InputRefused({**named, **_refused_words(typed)}) from None


def _amended(reading: Reading, again: Reading) -> Reading:
    """Put into an entry what was read again; all else of it stays, but no size beside what is no size."""
    taken = CHANGED.get(again.kind, MEASURED)
    kept = "" if reading.kind is Kind.CANNOT else reading.reason
    said = {"kind": again.kind, "reason": again.reason if again.kind is Kind.CANNOT else kept}
    sizes = {**dict.fromkeys(SIZES), "findings": ()}
    return replace(reading, **{**said, **sizes, **{name: getattr(again, name) for name in taken}})


def _is_alike(amended: Reading, reading: Reading) -> bool:
    """Whether nothing would change; faults seen in another order are the same."""
    return set(amended.findings) == set(reading.findings) and amended == replace(reading, findings=amended.findings)


def told_in_words(found: Overhaul, reading: Reading) -> str:
    """An entry as it is read: faults by their names."""
    part = found.sheet.part(reading.place.part)
    if part is None or not reading.findings:
        return reading.written
    seen = {code: find_finding(part, code) for code in reading.findings}
    return ", ".join(each.words if each else code for code, each in seen.items())


def _told(found: Overhaul, reading: Reading) -> str:
    """An entry in words, with what it was taken with."""
    if reading.kind in CHANGED:
        return told_in_words(found, reading)
    warm = f", {reading.temperature_c} °C" if reading.temperature_c is not None else ""
    return f"{reading.written} ({reading.instrument or 'no instrument'}{warm})"


def _in_words(found: Overhaul, typed: TypedAmendment) -> Amendment:
    """Read an amendment of something else than an entry, in words, which nothing judges."""
    part = typed.part.strip()
    texts = {"what": typed.what.strip(), "old": typed.old.strip(), "new": typed.new.strip()}
    needed = ("what", "new")
    refused = {n: f"At most {LONGEST_TEXT} characters." for n, text in texts.items() if len(text) > LONGEST_TEXT}
    refused |= {name: "This is needed." for name in needed if not texts[name]}
    if part and found.sheet.part(part) is None:
        refused["part"] = "Choose a part of this machine, or the record as a whole."
    if refused:
        raise InputRefused({**refused, **_refused_words(typed)})
    return Amendment(0, part, "", texts["what"], texts["old"], texts["new"], "", "", found.opened_at)


def what_is_read(found: Overhaul, reading: Reading) -> str:
    """Name the place of an entry: 2.1 Ring 1, closed gap, worst place, as found."""
    place, part = reading.place, found.sheet.part(reading.place.part)
    characteristic = part.characteristic(place.characteristic) if part else None
    named = f"{part.item} {part.name}" if part else place.part
    words = named, characteristic.name.lower() if characteristic else "condition by eye", place.level, place.axis
    return ", ".join(filter(None, (*words, reading.occasion.value)))
