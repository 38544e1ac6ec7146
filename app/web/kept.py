"""What was just kept, as the next page says it, and the two ways to put it right: another entry, or to take it back."""

from dataclasses import dataclass, replace
from uuid import uuid4

from app.domain.phases import phase_of
from app.domain.readings import Kind, Place, Reading
from app.domain.taking_back import may_take_back
from app.domain.verdicts import Verdict
from app.reports.part_tags import place_words
from app.web.gauge_places import place_href, short
from app.web.gauge_round import ENTERED_IN, Round


@dataclass(frozen=True)
class Kept:
    """The words and the place of an entry; `reading` is what may be taken back, if anything may."""

    words: str
    href: str
    figure: str
    where: str
    reading: Reading | None
    request_id: str


def just_kept(one_round: Round, reading_id: str, person: str) -> Kept | None:
    """Say what was kept a moment ago and what the part's verdict is now."""
    reading = _find(one_round, reading_id)
    if reading is None or reading.occasion is not one_round.occasion:
        return None
    verdict = next((v for v in one_round.verdicts if v.part.ref == reading.place.part), None)
    if verdict is None:
        return None
    word = "" if verdict.own is Verdict.NOT_GAUGED else f". {verdict.part.name}: {verdict.verdict.word}"
    struck = _find(one_round, reading.supersedes) if reading.kind is Kind.TAKEN_BACK else None
    did = "kept" if struck is None else "taken back"
    return _kept(one_round, struck or reading, did, word, person)


def kept_here(one_round: Round, place: Place, person: str) -> Kept | None:
    """Give what stands at a place where whoever looks may take it back; the page says it already."""
    overhaul = one_round.overhaul
    mine = [look for look in overhaul.looks if (look.place, look.occasion) == (place, one_round.occasion)]
    first = overhaul.first_looks(one_round.occasion).get(place)
    entry = next((each for each in (first, *reversed(mine)) if each and may_take_back(overhaul, each, person)), None)
    kept = _kept(one_round, entry, "kept", "", person) if entry else None
    return replace(kept, words="") if kept and kept.reading else None


def _find(one_round: Round, reading_id: str) -> Reading | None:
    """Find an entry of the overhaul."""
    entries = (*one_round.overhaul.readings, *one_round.overhaul.looks)
    return next((reading for reading in entries if reading.id == reading_id), None)


def _kept(one_round: Round, reading: Reading, did: str, word: str, person: str) -> Kept:
    """Put an entry into words, with the way to take it back where there is one."""
    overhaul, place = one_round.overhaul, reading.place
    part = one_round.part(place.part)
    shown = short(reading, part, part.characteristic(place.characteristic))
    where = place_words(part, place.characteristic, place.level, place.axis)
    is_open = phase_of(overhaul) in ENTERED_IN[one_round.occasion] and not one_round.held(place.part)
    mine = reading if is_open and may_take_back(overhaul, reading, person) else None
    return Kept(f"{where}: {did} {shown}{word}.", place_href(one_round, part, place), shown, where, mine, uuid4().hex)
