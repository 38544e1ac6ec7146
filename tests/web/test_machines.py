"""Tests of the list of machines, and of adding one."""

from decimal import Decimal

from app.actions.machines import machine_states
from app.store.book import Book
from tests.builders import NOW, a_machine, a_sheet, sign_all
from tests.web.lives import THIRD, a_machine_with_a_past
from tests.web.visitor import a_chief, a_visitor, an_auditor, words_of

NEW = {
    "tag": "GA-2",
    "serial": "Q-77",
    "name": "Governor air",
    "site": "Quillmoor",
    "sheet_name": "QM-GA",
    "hours": "12,5",
}


def test_an_empty_book_leads_the_chief_engineer_on_step_by_step(book: Book) -> None:
    visitor = a_chief(book)
    empty = visitor.get("/")
    without_sheet = visitor.get("/machines/new")
    a_sheet(book)

    with_sheet = visitor.get("/")

    assert 'href="/sheets/import"' in empty.text
    assert "no sheet is in the book yet" in without_sheet.text
    assert 'href="/machines/new"' in with_sheet.text
    assert "A chief engineer adds the first one." in a_visitor(book).get("/").text


def test_the_list_shows_every_machine_with_its_hours_and_state(book: Book) -> None:
    past = a_machine_with_a_past(book)
    a_machine(book, "BA-1", "4120", NOW, "QM-BA")

    page = an_auditor(book).get("/")

    words = words_of(page.text)
    assert "BA-1 Governor air Quillmoor, serial Q-BA-1 4 120 h operating hours In service not opened" in words
    assert "6 150 h operating hours Overhaul 3 open at: make safe" in words
    assert f'href="/machines/{past.machine.tag}"' in page.text
    assert "Add a machine" not in words


def test_the_list_says_when_a_machine_in_service_was_opened_last(book: Book) -> None:
    past = a_machine_with_a_past(book)
    sign_all(book, past.third, THIRD)

    assert "In service last opened 16 Mar 2021, at 6 150 h" in words_of(a_visitor(book).get("/").text)


def test_a_chief_engineer_adds_a_machine_and_a_second_tap_adds_no_other(book: Book) -> None:
    a_sheet(book)
    visitor = a_chief(book)
    visitor.get("/machines/new")

    answers = [visitor.post("/machines/new", NEW) for _ in range(2)]
    page = visitor.follow(answers[1])

    assert [answer.headers["location"] for answer in answers] == ["/machines/GA-2"] * 2
    assert [state.hours for state in machine_states(book)] == [Decimal("12.5")]
    assert "not opened since it came into the book" in page.text


def test_a_tag_that_is_taken_is_refused_with_everything_still_typed(book: Book) -> None:
    a_machine(book, "GA-2")
    visitor = a_chief(book)
    visitor.get("/machines/new")

    answer = visitor.post("/machines/new", NEW | {"serial": "Q-78 & more"}, 422)

    assert "A machine with this tag is in the book." in answer.text
    assert 'value="Q-78 &amp; more"' in answer.text
    assert 'value="12,5"' in answer.text


def test_every_field_of_a_machine_is_checked_and_said_beside_it(book: Book) -> None:
    a_sheet(book)
    visitor = a_chief(book)
    visitor.get("/machines/new")
    wrong = {"tag": "new", "serial": "", "name": "x" * 61, "site": "\u200b", "sheet_name": "none", "hours": "1.000,5"}

    answer = visitor.post("/machines/new", wrong, 422)
    stroke = visitor.post("/machines/new", NEW | {"tag": "GA/2", "hours": "1000001"}, 422)

    assert all(f'id="f-{name}-error"' in answer.text for name in wrong)
    assert "no stroke" in stroke.text
    assert "More than 1000000 h cannot be." in stroke.text
    assert machine_states(book) == []


def test_only_a_chief_engineer_adds_a_machine(book: Book) -> None:
    a_sheet(book)

    for visitor in (a_visitor(book), an_auditor(book)):
        visitor.get("/machines/new", 403)
        visitor.post("/machines/new", NEW, 403)

    assert machine_states(book) == []


def test_a_tag_with_spaces_and_signs_has_a_page(book: Book) -> None:
    a_sheet(book)
    visitor = a_chief(book)
    visitor.get("/machines/new")

    page = visitor.follow(visitor.post("/machines/new", NEW | {"tag": "GA 2 <é?#>"}))

    assert "<h1>GA 2 &lt;é?#&gt;</h1>" in page.text
    assert visitor.get("/machines/GA%202%20%3C%C3%A9%3F%23%3E/history").status_code == 200
