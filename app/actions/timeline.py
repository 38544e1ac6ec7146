"""What happened to a machine, told from the chain: overhauls, meter, parts, decisions, services, runs, limits."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any

from app.actions.concessions import named
from app.actions.entries import ToldEntry, tell
from app.actions.machines import MachineState, machine_state
from app.domain.limits import LimitSheet
from app.domain.overhaul import Concession
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.sheets import list_sheets
from app.store.timeline import list_entries_of, name_overhauls_of, subjects_of

AT_ONCE = 100


class Chapter(StrEnum):
    """The chapters into which a timeline falls; the value is the word shown on pages."""

    OVERHAULS = "overhauls"
    METER = "meter"
    PARTS = "parts"
    DECISIONS = "decisions"
    SERVICES = "services"
    RUNS = "runs"
    LIMITS = "limits"
    AMENDMENTS = "amendments"


@dataclass(frozen=True)
class Event:
    """One line: when it happened, in words, and the entry of the chain that says so."""

    at: datetime
    chapter: Chapter
    words: str
    detail: str
    told: ToldEntry

    @property
    def was_entered_later(self) -> bool:
        """Whether it came into the book on another day than it happened."""
        return abs((self.told.at - self.at).total_seconds()) > 86_400


@dataclass(frozen=True)
class Timeline:
    """One page of a machine's timeline, the newest first."""

    state: MachineState
    events: tuple[Event, ...]
    count: int
    chapter: Chapter | None
    page: int
    pages: int


Words = tuple[str, str] | None  # in words, and what stands small beside it; None where it is no line of a timeline
Teller = Callable[[Mapping[str, Any], LimitSheet], Words]


def timeline(book: Book, tag: str, chapter: str, page: int) -> Timeline:
    """Tell what happened to a machine, or one chapter of it."""
    state = machine_state(book, tag)
    wanted = Chapter(chapter) if chapter in list(Chapter) else None
    whats = [what for what, (of, _) in TELLERS.items() if wanted in (None, of)]
    with book.reading() as session:
        names = name_overhauls_of(session, state.machine.id)
        sheets = [s for s in list_sheets(session) if s.name == state.machine.sheet_name]
        subjects = [*subjects_of(tag, names), *(f"sheet {each.name} rev {each.revision}" for each in sheets)]
        told = tell(session, list_entries_of(session, subjects, whats))
    events = list(filter(None, (_event(each, state.sheet) for each in told)))
    events.sort(key=lambda event: (event.at, event.told.seq), reverse=True)
    pages = max(1, -(-len(events) // AT_ONCE))
    page = min(max(page, 1), pages)
    return Timeline(state, tuple(events[(page - 1) * AT_ONCE : page * AT_ONCE]), len(events), wanted, page, pages)


def _event(told: ToldEntry, sheet: LimitSheet) -> Event | None:
    """Tell one entry; None where it is of a kind that a timeline leaves out."""
    chapter, teller = TELLERS[told.what]
    words = teller(told.new, sheet)
    return Event(_moment(told), chapter, *words, told) if words else None


def _moment(told: ToldEntry) -> datetime:
    """When it happened, which is not always when it was entered."""
    happened = next((told.new[key] for key in ("opened_at", "read_at", "at") if told.new.get(key)), None)
    return datetime.fromisoformat(happened) if happened else told.at


def _machine(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return f"Machine added, serial {new['serial']}", new["name"]


def _opened(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    scope = f"stages {new['stages'].replace(',', ', ')}; {'valves and rings' if new['has_rings'] else 'valves only'}"
    paper = f"; from paper: {new['paper']}" if new.get("paper") else ""
    return f"Overhaul {new['number']} opened at {_hours(new)}", f"{scope}; judged by {_sheet_title(new)}{paper}"


def _signed(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return f"Signed: {new['meaning']}", f"digest begins {new['digest'][:8]}"


def _witnessed(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return f"Witnessed: {new['meaning']}", f"by {new['name']}, {new['body']}"


def _meter(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    if not new.get("is_new_meter"):
        return None
    return f"New meter at {_hours(new)}", f"it shows {new['shown']} h" if new.get("shown") else ""


def _struck(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return "Meter reading struck as misread", new["reason"]


def _fitted(new: Mapping[str, Any], sheet: LimitSheet) -> Words:
    what = named(sheet, new["ref"])
    if new.get("made_to_typed"):
        return f"{what} made to {new['made_to_typed']} {new['made_to_unit']}", ""
    batch = f", batch or serial {new['batch']}" if new.get("batch") else ""
    return f"{what} renewed", f"part number {new['number']}{batch}"


def _decided(new: Mapping[str, Any], sheet: LimitSheet) -> Words:
    what, verdict = named(sheet, new["ref"]), Verdict(new["verdict"]).word
    second = new.get("concession_second_person")
    if not second:
        return f"{what}: decided {verdict}", new["reason"]
    hours, day = new.get("concession_until_hours"), new.get("concession_until_date")
    end = Concession(second, Decimal(hours) if hours else None, date.fromisoformat(day) if day else None)
    return f"{what}: concession until {end.words}", f"{new['reason']}; second signature {second}"


def _serviced(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return None if new["is_in_order"] else (f"Service not in order: {new['task']}", new["note"])


def _run(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return f"{'Proving run' if new.get('overhaul_id') else 'Fault seen, run'} at {_hours(new)}", ""


def _baseline(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return "Run chosen as baseline", new["reason"]


def _imported(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return f"Limit sheet {new['name']} rev {new['revision']} imported", f"digest begins {new['digest'][:8]}"


def _proposed(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    return f"Amendment proposed, not signed: {new['what']}", f"from {new['old']} to {new['new']}; {new['reason']}"


def _answered(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    words = f"Amendment {new['outcome']}: {new['what']}"
    return words, f"from {new['old']} to {new['new']}" + (f"; {new['words']}" if new["words"] else "")


def _approved(new: Mapping[str, Any], _sheet: LimitSheet) -> Words:
    page = "with a picture of its source page" if new["picture"] else ""
    return f"Limit sheet approved by {new['person']}", page


def _hours(new: Mapping[str, Any]) -> str:
    """Write operating hours."""
    return f"{Decimal(new['hours']):,f}".replace(",", "\N{NO-BREAK SPACE}") + "\N{NO-BREAK SPACE}h"


def _sheet_title(new: Mapping[str, Any]) -> str:
    """Name the revision an overhaul is judged by."""
    return f"{new['sheet']} rev {new['sheet_revision']}" if "sheet" in new else "its sheet"


# What stands in a timeline, by the kind of its entry. Whoever adds a kind of entry adds its line here.
TELLERS: dict[str, tuple[Chapter, Teller]] = {
    "machine added": (Chapter.OVERHAULS, _machine),
    "overhaul opened": (Chapter.OVERHAULS, _opened),
    "overhaul entered from paper": (Chapter.OVERHAULS, _opened),
    "signed": (Chapter.OVERHAULS, _signed),
    "signature witnessed": (Chapter.OVERHAULS, _witnessed),
    "hours recorded": (Chapter.METER, _meter),
    "hours struck": (Chapter.METER, _struck),
    "part fitted": (Chapter.PARTS, _fitted),
    "decision made": (Chapter.DECISIONS, _decided),
    "service recorded": (Chapter.SERVICES, _serviced),
    "run entered": (Chapter.RUNS, _run),
    "baseline chosen": (Chapter.RUNS, _baseline),
    "sheet imported": (Chapter.LIMITS, _imported),
    "sheet approved": (Chapter.LIMITS, _approved),
    "amendment proposed": (Chapter.AMENDMENTS, _proposed),
    "amendment signed": (Chapter.AMENDMENTS, _answered),
    "amendment declined": (Chapter.AMENDMENTS, _answered),
}
