"""Tests of the timeline of a machine."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

from app.actions.machines import machine_state
from app.domain.overhaul import Decision, MeterReading
from app.domain.service import Service
from app.domain.sheet_file import read_sheet
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.machines import list_meter_readings, save_meter_reading, save_strike
from app.store.running import get_run, save_baseline
from app.store.services import save_service
from app.store.sheets import save_sheet
from tests.builders import NOW, a_sheet_text, decide, run_it
from tests.web.lives import THIRD, a_machine_with_a_past
from tests.web.visitor import a_visitor, an_auditor, words_of

LINE = "/machines/GA-1/timeline"
CHANGED = datetime(2022, 5, 6, tzinfo=UTC)


def a_full_past(book: Book) -> None:
    """A machine to which everything happened that a timeline tells."""
    past = a_machine_with_a_past(book)
    decide(book, past.third, Decision("2.pin", Verdict.RENEW, "blued", "I. Brandreth", THIRD))
    run_id = run_it(book, past.third, THIRD)
    read = MeterReading(Decimal(6200), CHANGED, "M. Tarrow", shown=Decimal(3), is_new_meter=True)
    done = Service("oil", "QM-GA rev C", Decimal(6200), CHANGED, "M. Tarrow", (), "milky oil", False)
    with book.writing("M. Tarrow", NOW) as writing:
        save_meter_reading(writing, past.machine, read)
        misread = list_meter_readings(writing.session, past.machine.id)[-1]
        save_strike(writing, past.machine, misread, "read upside down")
        save_service(writing, past.machine, done, "request-1")
        save_service(writing, past.machine, replace(done, is_in_order=True, note="all well"), "request-2")
        save_baseline(writing, past.machine, get_run(writing.session, run_id), "in good order")
    text = a_sheet_text().replace('revision = "C"', 'revision = "D"')
    with book.writing("I. Brandreth", NOW) as writing:
        save_sheet(writing, text, read_sheet(text))


def lines(page: str) -> list[str]:
    """The lines of the timeline, as words."""
    rows = re.findall(r"<tr id.*?</tr>", page, re.DOTALL)
    return [words_of(row).replace("\u00a0", " ") for row in rows]


def test_everything_that_happened_stands_in_its_order_the_newest_first(book: Book) -> None:
    a_full_past(book)

    told = lines(an_auditor(book).get(LINE).text)

    days = [datetime.strptime(" ".join(line.split()[:3]), "%d %b %Y").replace(tzinfo=UTC) for line in told]
    assert days == sorted(days, reverse=True)
    for words in (
        "Overhaul 1 opened at 2,010 h".replace(",", " "),
        "Signed: returned to service, chief engineer",
        "Stage 2, ring set renewed GA-1, overhaul 2 part number QM-31-230, batch or serial B-7",
        "made to 78.25 mm",
        "concession until 7000 h GA-1, overhaul 2 New pin on order, five weeks; second signature R. Osk",
        "decided RENEW GA-1, overhaul 3 blued",
        "Proving run at 6 150 h",
        "Run chosen as baseline in good order",
        "New meter at 6 200 h it shows 3 h",
        "Meter reading struck as misread read upside down",
        "Service not in order: oil milky oil",
        "Limit sheet QM-GA rev D imported",
        "judged by QM-GA rev B",
    ):
        assert any(words in line for line in told), words
    assert not any("all well" in line for line in told)


def test_a_chapter_leaves_the_others_out(book: Book) -> None:
    a_full_past(book)
    visitor = an_auditor(book)

    counts = {
        chapter: len(lines(visitor.get(f"{LINE}?chapter={chapter}").text))
        for chapter in ("overhauls", "meter", "parts", "decisions", "services", "runs", "limits")
    }

    assert sum(counts.values()) == len(lines(visitor.get(LINE).text))
    assert counts == {"overhauls": 12, "meter": 2, "parts": 2, "decisions": 2, "services": 1, "runs": 2, "limits": 3}


def test_what_was_entered_long_after_it_happened_says_so(book: Book) -> None:
    a_full_past(book)

    (struck,) = [line for line in lines(a_visitor(book).get(LINE).text) if "New meter" in line]

    assert struck.startswith("6 May 2022 entered 24 Nov 2026")


def test_each_line_leads_to_where_it_stands_and_to_its_entry(book: Book) -> None:
    a_full_past(book)
    visitor = an_auditor(book)
    page = visitor.get(LINE).text

    links = set(re.findall(r'<th scope="row" class="told"><a href="([^"]+)"', page))
    entries = re.findall(r'href="(/entries/\d+)"', page)

    assert len(entries) == len(lines(page))
    visitor.get(entries[0])
    for link in links:
        address, _, anchor = link.replace("&amp;", "&").partition("#")
        shown = visitor.get(address).text
        assert not anchor or f'id="{anchor}"' in shown


def test_a_long_timeline_goes_on_to_what_was_earlier(book: Book) -> None:
    past = a_machine_with_a_past(book)
    for number in range(110):
        decide(book, past.third, Decision("2.pin", Verdict.REUSE, f"look {number}", "I. Brandreth", THIRD))
    visitor = an_auditor(book)

    first = visitor.get(f"{LINE}?chapter=decisions").text
    (link,) = re.findall(r'href="([^"]+number=2)"', first)
    second = visitor.get(link.replace("&amp;", "&")).text

    assert (len(lines(first)), len(lines(second))) == (100, 11)
    assert "Later" in second
    assert len(lines(visitor.get(f"{LINE}?number=-5").text)) == 100


def test_a_machine_that_is_not_there_has_no_timeline(book: Book) -> None:
    a_machine_with_a_past(book)
    visitor = a_visitor(book)

    visitor.get("/machines/XX-9/timeline", 404)
    assert machine_state(book, "GA-1").machine.tag in visitor.get(f"{LINE}?chapter=nothing").text
