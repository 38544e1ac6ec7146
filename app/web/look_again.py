"""A second look on the gauging page: what the looks say so far, and the way to give another."""

from dataclasses import dataclass

from app.domain.corrections import REASONS
from app.domain.second_looks import COMPARED, looks_at, people_of
from app.reports.part_tags import place_words
from app.web.gauge_page import GaugePage
from app.web.gauge_places import place_href
from app.web.gauge_round import Round

SECOND = "second"


@dataclass(frozen=True)
class LookAgain:
    """Whether the entry on the page is a second look, what all looks say, and the address of the next one."""

    is_look: bool = False
    said: str = ""
    count: int = 0
    agree: bool = True
    href: str = ""
    name: str = ""
    reasons: tuple[str, ...] = REASONS


def look_again(shown: GaugePage, person_name: str, look: str) -> LookAgain:
    """Gather what stands at a place of another person's look; a way to one's own is offered where one is wanted."""
    overhaul, occasion = shown.round.overhaul, shown.round.occasion
    first = overhaul.first_looks(occasion).get(shown.place)
    if first is None or first.kind not in COMPARED:
        return LookAgain()
    looks = looks_at(overhaul.sheet, shown.part, first, overhaul.looks)
    told = (looks.words, len(looks.readings), looks.agree) if looks else ("", 0, True)
    is_mine = looks is not None and any(person_name in people_of(one) for one in looks.readings[1:])
    is_wanted = looks is None or looks.asks_third or is_mine
    if person_name in people_of(first) or not is_wanted:
        return LookAgain(False, *told)
    href = f"?level={shown.level_index}&axis={shown.axis_index}&look={SECOND}"
    name = "Second look" if looks is None else "Your look" if is_mine else "Third look"
    return LookAgain(look == SECOND, *told, href, name)


def differing_links(one_round: Round) -> dict[str, list[tuple[str, str]]]:
    """The places at which two differ, by part, each with its address."""
    links: dict[str, list[tuple[str, str]]] = {}
    for place in one_round.differing:
        part = one_round.part(place.part)
        words = place_words(part, place.characteristic, place.level, place.axis)
        links.setdefault(part.ref, []).append((words, place_href(one_round, part, place)))
    return links
