"""Tests of drafts that come from elsewhere and go on as a revision: by the very checks that a file goes through."""

from app.actions.sheet_drafts import draft_now, drafts
from app.actions.sheets import one_sheet, sheets
from app.store.book import Book
from tests.builders import a_sheet_text
from tests.web.drafting import a_copy, a_draft, send
from tests.web.forms import form_of, said_beside
from tests.web.visitor import a_chief, words_of


def test_copy_is_whole_and_only_its_revision_is_to_be_named(book: Book) -> None:
    visitor = a_copy(book)

    now = draft_now(book, 1)

    assert (now.faults, now.warnings) == ((), ())
    assert now.draft.text == a_sheet_text().replace('revision = "C"', 'revision = "E"')
    assert "Approve as revision" in visitor.get("/drafts/1").text


def test_approved_draft_is_a_revision_and_leads_to_its_machine(book: Book) -> None:
    visitor = a_copy(book)
    visitor.get("/drafts/1")
    form = form_of(visitor.page, "/drafts/1/approve")

    answer = visitor.post("/drafts/1/approve", form)
    again = visitor.post("/drafts/1/approve", form)
    page = visitor.follow(answer).text

    assert answer.headers["location"] == again.headers["location"] == "/machines/new?sheet=QM-GA&done=sheet-approved"
    assert "Approved. Now the machine that it is for." in page
    assert one_sheet(book, "QM-GA", "E")[1] == draft_now(book, 1).draft.text
    assert drafts(book) == []
    assert "never changes" in visitor.get("/drafts/1").text
    assert send(visitor, "/drafts/1/head", 409, name="Other")


def test_draft_with_gaps_is_not_approved(book: Book) -> None:
    visitor = a_draft(book)
    visitor.get("/drafts/1")

    visitor.post("/drafts/1/approve", {"version": "1"}, 422)

    assert sheets(book) == []


def test_approval_from_a_stale_page_is_asked_for_again(book: Book) -> None:
    visitor = a_copy(book)
    visitor.get("/drafts/1")

    page = visitor.post("/drafts/1/approve", {"version": "1"}, 409).text

    assert "changed in another tab" in page
    assert [each.revision for each in sheets(book)] == ["C"]


def test_doubts_are_accepted_by_name_before_a_draft_is_approved(book: Book) -> None:
    visitor = a_copy(book)
    send(visitor, "/drafts/1/stages/1", do="keep", **{"suction-valve/lift/value-upper": "2.10"})
    page = visitor.get("/drafts/1").text
    form = form_of(page, "/drafts/1/approve")

    refused = visitor.post("/drafts/1/approve", form, 422).text
    visitor.post("/drafts/1/approve", form | {"accepted": "yes"})

    assert "a new maximum clear of the upper limit 2.10" in words_of(page)
    assert 'href="/drafts/1/stages/1#f-of-suction-valve"' in page
    assert "Accept these by name" in refused
    assert len(sheets(book)) == 2


def test_revision_that_is_in_the_book_is_refused_in_words(book: Book) -> None:
    visitor = a_copy(book)
    send(visitor, "/drafts/1/head", revision="C", document="Another manual")
    visitor.get("/drafts/1")

    page = visitor.post("/drafts/1/approve", form_of(visitor.page, "/drafts/1/approve"), 409).text

    assert "is in the book with another text" in page


def test_name_that_cannot_stand_in_an_address_is_refused_in_words(book: Book) -> None:
    visitor = a_copy(book)
    send(visitor, "/drafts/1/head", name="QM/GA")
    visitor.get("/drafts/1")

    page = visitor.post("/drafts/1/approve", form_of(visitor.page, "/drafts/1/approve"), 422).text

    assert "a word without a stroke" in page


def test_table_makes_a_draft_and_a_bad_one_makes_nothing(book: Book) -> None:
    visitor = a_chief(book)
    table = visitor.get("/drafts/template.csv").content
    workbook = visitor.get("/drafts/template.xlsx").content
    visitor.get("/drafts/new")
    form = {"way": "table", "table_name": "QM-T", "table_revision": "A", "table_machine_type": "any"}
    bad = table.replace(b"feeler", b"fealer", 1)

    refused = visitor.post("/drafts/new", form, 422, files={"file": ("t.csv", bad, "text/csv")}).text
    nothing_yet = drafts(book)
    nothing = visitor.post("/drafts/new", form | {"table_name": ""}, 422).text
    for name, content in (("t.csv", table), ("t.xlsx", workbook)):
        visitor.post("/drafts/new", form, files={"file": (name, content, "text/plain")})

    assert "6 column method one of “feeler”" in words_of(refused)
    assert nothing_yet == []
    assert said_beside(nothing, "table_name")
    assert said_beside(nothing, "file")
    assert [draft.title for draft in drafts(book)] == ["QM-T rev A"] * 2


def test_draft_is_exported_as_it_stands_and_thrown_away_only_when_it_is_meant(book: Book) -> None:
    visitor = a_draft(book)
    text = draft_now(book, 1).draft.text

    exported = visitor.get("/drafts/1/file").text
    visitor.get("/drafts/1")
    unsure = visitor.post("/drafts/1/drop", {}, 422).text
    visitor.post("/drafts/1/drop", {"sure": "yes"})

    assert exported == text
    assert said_beside(unsure, "sure")
    assert drafts(book) == []
    visitor.get("/drafts/1", 404)
