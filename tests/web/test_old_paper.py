"""Tests of the pages of old paper: the template, what a file holds, its overhauls coming in, and stopping it."""

from datetime import UTC, datetime
from threading import Event

import pytest
from fastapi import FastAPI

from app.actions import paper_jobs
from app.actions.exports import Wanted, exporting
from app.actions.old_paper_kept import keep_from_paper
from app.actions.record_pdf import record_input
from app.domain.people import Role
from app.reports.export_tables import table_rows
from app.reports.record_document import record_document
from app.store.book import Book
from app.store.overhauls import get_overhaul, list_overhauls
from tests.builders import PASSWORD, a_machine, a_person, an_app
from tests.old_paper import Cells, a_row, a_sheet, a_table, good_rows
from tests.web.visitor import Visitor, words_of

BEGAN = datetime(2020, 1, 1, 12, 0, tzinfo=UTC)
PAGE = "/machines/GA-1/paper"


@pytest.fixture
def app(book: Book) -> FastAPI:
    """The program around a book with GA-1 and a chief engineer."""
    a_machine(book, hours="60000", at=BEGAN)
    a_person(book, "I. Brandreth", Role.CHIEF)
    return an_app(book)


def overhauls(*names: int) -> list[Cells]:
    """An overhaul of stage 2 a year, each with a worn ring that was renewed."""
    rows = []
    for name in names:
        head = {"overhaul": str(name), "date": f"{1990 + name}-03-02", "hours": str(1000 * name)}
        rows += [row | head for row in good_rows(a_sheet(), 2)]
        rows += [a_row("2.ring-1", "", done="renewed", part_number="QM-31-230", batch="L 4") | head]
    return rows


def send(visitor: Visitor, app: FastAPI, content: bytes, name: str = "old.csv") -> str:
    """Send a file, wait until it is looked through, and give the address of its page."""
    visitor.get(PAGE)
    answer = visitor.post(PAGE, {"revision": "C"}, files={"file": (name, content)})
    address = answer.headers["location"]
    settle(app, address)
    visitor.get(address)
    return address


def settle(app: FastAPI, address: str) -> None:
    """Wait until a file is not worked on."""
    thread = app.state.paper_jobs.find("GA-1", address.rsplit("/", 1)[1]).thread
    thread.join(30)
    assert not thread.is_alive()


def in_book(book: Book) -> int:
    """How many overhauls of the machine are in the book."""
    with book.reading() as session:
        return len(list_overhauls(session, 1))


def test_a_file_is_shown_whole_before_anything_comes_in_and_then_marked_on_every_page(book: Book, app: FastAPI) -> None:
    chief = Visitor(app).sign_in("I. Brandreth")
    bad = a_row("2.pin", "diameter", overhaul="1", hours="1000", value="219.9")
    address = send(chief, app, a_table([*overhauls(2, 1), bad]).encode())

    shown = words_of(chief.page)
    assert "2 overhauls with" in shown
    assert "1 line is refused, 1 of them for a size that cannot be" in shown
    assert shown.index("2 Mar 1991") < shown.index("2 Mar 1992")
    assert in_book(book) == 0
    chief.post(f"{address}/take", {"password": PASSWORD}, 422)
    chief.post(f"{address}/take", {"password": "wrong", "leave_out": "yes"}, 422)
    assert in_book(book) == 0
    chief.post(f"{address}/take", {"password": PASSWORD, "leave_out": "yes"})
    settle(app, address)
    chief.get(address)
    assert "2 of 2 overhauls came in, each whole" in words_of(chief.page)
    mark = "from paper, entered by I. Brandreth"
    for page in ("/machines/GA-1", "/machines/GA-1/history?part=2.ring-1&characteristic=closed-gap",
                 "/overhauls/1/record", "/overhauls/1/decide",
        "/machines/GA-1/readings"):  # fmt: skip
        chief.get(page)
        assert mark in words_of(chief.page).lower().replace("i. brandreth", "I. Brandreth")
    record = words_of(chief.client.get("/overhauls/1/record").text)
    assert "Renewed by the paper; the sheet: REUSE" in record
    assert "not signed" not in record
    assert "Parts to order" not in record
    assert "from paper: “1”, lines" in words_of(chief.get("/machines/GA-1/timeline").text)


def test_a_template_sent_empty_says_what_to_do_and_leads_to_another_file(book: Book, app: FastAPI) -> None:
    chief = Visitor(app).sign_in("I. Brandreth")

    send(chief, app, chief.client.get(f"{PAGE}/template.csv").content)

    assert "No overhaul would come in. Fill the template in, and send it again. Another file" in words_of(chief.page)


def test_the_pdf_and_the_exports_say_so_too(book: Book, app: FastAPI) -> None:
    chief = Visitor(app).sign_in("I. Brandreth")
    address = send(chief, app, a_table(overhauls(1)).encode())
    chief.post(f"{address}/take", {"password": PASSWORD})
    settle(app, address)

    document = record_document(record_input(book, 1, "UTC", False), datetime.now(UTC))
    with exporting(book, Wanted("GA-1")) as export:
        (reading, *_), (_limits, signature) = (
            list(table_rows(name, export.overhauls())) for name in ("readings", "signatures")
        )

    assert document["title"] == "Record of overhaul 1: GA-1, from paper, entered by I. Brandreth"
    assert not document["is_draft"]
    assert [each["meaning"] for each in document["signatures"]] == ["Entered from paper"]  # type: ignore[union-attr,index]
    assert reading[4] == "from paper, entered by I. Brandreth: “1”, lines 2 to 32 of old.csv"
    assert signature[5] == "entered from paper"
    assert chief.client.get("/overhauls/1/record.pdf").content.startswith(b"%PDF")


def test_sent_again_nothing_comes_in_twice(book: Book, app: FastAPI) -> None:
    chief = Visitor(app).sign_in("I. Brandreth")
    table = a_table(overhauls(1, 2)).encode()
    address = send(chief, app, table)
    for _ in range(2):
        chief.post(f"{address}/take", {"password": PASSWORD})
        settle(app, address)

    send(chief, app, table)

    assert in_book(book) == 2
    assert "In the book already: 1, 2." in words_of(chief.page)


def test_stopped_it_leaves_whole_overhauls_and_sent_again_brings_in_the_rest(
    book: Book, app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    chief, at_second, may_go_on = Visitor(app).sign_in("I. Brandreth"), Event(), Event()

    def slow(*given: object) -> bool:
        if in_book(book) == 1:
            at_second.set()
            assert may_go_on.wait(30)
        return keep_from_paper(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(paper_jobs, "keep_from_paper", slow)
    table = a_table(overhauls(1, 2, 3)).encode()
    address = send(chief, app, table)
    chief.post(f"{address}/take", {"password": PASSWORD})
    assert at_second.wait(30)

    running = chief.get(address)
    other = chief.client.get(PAGE)
    refused = chief.client.post(PAGE, data={"csrf": chief.csrf, "revision": "C"}, files={"file": ("x.csv", table)})
    chief.post(f"{address}/stop")
    may_go_on.set()
    settle(app, address)
    chief.get(address)

    assert running.headers["refresh"] == "2"
    assert "1 of 3 overhauls" in words_of(running.text)
    assert other.status_code == 200
    assert "I. Brandreth is bringing in paper of GA-1 now" in words_of(refused.text)
    assert "2 of 3 overhauls came in, each whole" in words_of(chief.page)
    with book.reading() as session:
        assert [len(get_overhaul(session, number).signatures) for number in (1, 2)] == [1, 1]
    monkeypatch.undo()
    address = send(chief, app, table)
    chief.post(f"{address}/take", {"password": PASSWORD})
    settle(app, address)
    assert in_book(book) == 3


def test_a_file_that_is_no_table_says_why_and_one_that_was_looked_through_can_be_left(book: Book, app: FastAPI) -> None:
    chief = Visitor(app).sign_in("I. Brandreth")

    send(chief, app, b"PK\x03\x04 broken", "old.xlsx")
    assert "no whole workbook" in words_of(chief.page)
    send(chief, app, b"overhaul,part,valeu\n1,2.pin,21.9\n")
    assert "Column 3: no column “valeu”" in words_of(chief.page)
    address = send(chief, app, a_table(overhauls(1)).encode())
    chief.post(f"{address}/stop")
    chief.get(address)

    assert "The file is stopped" in words_of(chief.page)
    chief.post(PAGE, {"revision": "C"}, 422)
    chief.post(PAGE, {"revision": "Z"}, 404, files={"file": ("x.csv", b"x")})
    assert "Send it again" in words_of(chief.get(f"{PAGE}/unknown", 404).text)
    assert in_book(book) == 0


def test_templates_are_offered_for_each_machine(book: Book, app: FastAPI) -> None:
    chief = Visitor(app).sign_in("I. Brandreth")

    table, workbook = (chief.client.get(f"{PAGE}/template.{form}") for form in ("csv", "xlsx"))

    assert "1,GA-1,,,as found,1.suction-valve,seen" in table.content.decode("utf-8-sig")
    assert workbook.content.startswith(b"PK")
    assert "GA-1-paper.xlsx" in workbook.headers["content-disposition"]


def test_a_program_that_ends_stops_what_is_at_work(book: Book, app: FastAPI) -> None:
    chief = Visitor(app).sign_in("I. Brandreth")
    address = send(chief, app, a_table(overhauls(1)).encode())

    app.state.paper_jobs.close()

    assert app.state.paper_jobs.find("GA-1", address.rsplit("/", 1)[1]).stop.is_set()
