"""What was just kept, as the next page says it, and the way back to put it right."""

from dataclasses import dataclass

from app.domain.verdicts import Verdict
from app.reports.part_tags import place_words
from app.web.gauge_places import place_href, short
from app.web.gauge_round import Round


@dataclass(frozen=True)
class Kept:
    """The words and the address of an entry just kept; no words when there is none."""

    words: str = ""
    href: str = ""


def just_kept(one_round: Round, reading_id: str) -> Kept:
    """Say what was kept a moment ago and what the part's verdict is now."""
    entries = (*one_round.overhaul.readings, *one_round.overhaul.looks)
    reading = next((r for r in entries if r.id == reading_id), None)
    if reading is None or reading.occasion is not one_round.occasion:
        return Kept()
    verdict = next((v for v in one_round.verdicts if v.part.ref == reading.place.part), None)
    if verdict is None:
        return Kept()
    part, place = verdict.part, reading.place
    word = "" if verdict.own is Verdict.NOT_GAUGED else f". {part.name}: {verdict.verdict.word}"
    shown = short(reading, part, part.characteristic(place.characteristic))
    words = place_words(part, place.characteristic, place.level, place.axis)
    return Kept(f"{words}: kept {shown}{word}.", place_href(one_round, part, place))
