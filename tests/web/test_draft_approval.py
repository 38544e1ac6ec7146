"""Drafts that go on as a signed revision, wherever they come from: by the very checks that a file goes through."""

import pytest

from app.actions.sheet_approvals import approvals_of, is_approval_due
from app.actions.sheet_drafts import draft_now, drafts
from app.actions.sheets import one_sheet, sheets
from app.domain.people import Role
from app.store.book import Book
from app.store.evidence import verify_evidence
from app.web.guards import MOST_BYTES
from tests.builders import PASSWORD, a_person, a_sheet_text, an_app
from tests.pictures import a_photo_with_its_place
from tests.web.drafting import a_copy, a_draft, send
from tests.web.forms import form_of, has_form, said_beside, ticked
from tests.web.visitor import Visitor, a_chief, words_of

APPROVE = "/drafts/1/approve"


def the_form(visitor: Visitor) -> dict[str, object]:
    """What the form of approval sends from the draft's page, with the right password."""
    return form_of(visitor.get("/drafts/1").text, APPROVE) | {"password": PASSWORD}


def test_copy_is_whole_and_only_its_revision_is_to_be_named(book: Book) -> None:
    visitor = a_copy(book)

    now = draft_now(book, 1)

    assert (now.faults, now.warnings) == ((), ())
    assert now.draft.text == a_sheet_text().replace('revision = "C"', 'revision = "E"')
    assert "Approve and sign" in visitor.get("/drafts/1").text


def test_approved_draft_is_a_signed_revision_and_leads_to_its_machine(book: Book) -> None:
    visitor = a_copy(book)
    form = the_form(visitor)

    answer = visitor.post(APPROVE, form)
    again = visitor.post(APPROVE, form)
    page = visitor.follow(answer).text

    assert answer.headers["location"] == again.headers["location"] == "/machines/new?sheet=QM-GA&done=sheet-approved"
    assert "Approved and signed. Now the machine that it is for." in page
    assert one_sheet(book, "QM-GA", "E")[1] == draft_now(book, 1).draft.text
    assert [each.person for each in approvals_of(book, "QM-GA", "E")] == ["I. Brandreth"]
    assert not is_approval_due(book, "QM-GA", "E")
    assert drafts(book) == []
    assert "never changes" in visitor.get("/drafts/1").text


@pytest.mark.parametrize("path", ["/drafts/1/head", "/drafts/1/text", "/drafts/1/stages"])
def test_form_of_a_draft_that_was_approved_meanwhile_leads_to_the_revision_that_it_became(
    book: Book, path: str
) -> None:
    visitor = a_copy(book)
    visitor.get(path if path.endswith(("head", "text")) else "/drafts/1")
    late = form_of(visitor.page, path)
    visitor.post(APPROVE, the_form(visitor))

    page = visitor.follow(visitor.post(path, late)).text

    assert "Nothing was changed: this page says what stands already" in page
    assert 'href="/sheets/QM-GA/E"' in page
    assert "This draft became QM-GA rev E" in words_of(page)


def test_picture_of_the_source_page_is_sealed_with_the_revision(book: Book) -> None:
    visitor = a_copy(book)
    files = {"photo": ("page.jpg", a_photo_with_its_place(), "image/jpeg")}

    visitor.post(APPROVE, the_form(visitor), files=files)

    page = visitor.get("/sheets/QM-GA/E").text
    assert "Approved with a signature" in words_of(page)
    assert "Picture of the source page" in page
    assert not has_form(page, "/sheets/QM-GA/E/approval")
    with book.reading() as session:
        assert verify_evidence(session) == []


def test_picture_may_be_as_large_as_its_field_says(book: Book) -> None:
    visitor = a_copy(book)
    picture = a_photo_with_its_place()
    large = picture + bytes(MOST_BYTES + 1 - len(picture))  # what follows the end of a picture is none of it

    answer = visitor.post(APPROVE, the_form(visitor), files={"photo": ("page.jpg", large, "image/jpeg")})

    assert answer.headers["location"].endswith("done=sheet-approved")
    assert "Picture of the source page" in visitor.get("/sheets/QM-GA/E").text


def test_wrong_password_and_no_picture_are_named_beside_their_fields_and_nothing_is_in_force(book: Book) -> None:
    visitor = a_copy(book)
    send(visitor, "/drafts/1/stages/1", do="keep", **{"suction-valve/lift/value-upper": "2.10"})
    form = the_form(visitor) | {"accepted": "yes"}
    no_picture = {"photo": ("page.jpg", b"no picture", "image/jpeg")}
    picture = {"photo": ("page.jpg", a_photo_with_its_place(), "image/jpeg")}

    wrong = visitor.post(APPROVE, form | {"password": "not mine"}, 422, files=picture).text
    bad = visitor.post(APPROVE, form, 422, files=no_picture).text
    neither = visitor.post(APPROVE, form | {"accepted": "", "password": ""}, 422).text

    assert said_beside(wrong, "password") == "This is not I. Brandreth's password."
    assert said_beside(wrong, "photo") == "Choose page.jpg again; nothing was kept of it."
    assert ticked(wrong, "accepted") == ["yes"]
    assert "no picture that can be read" in said_beside(bad, "photo")
    assert "Accept these by name" in neither
    assert said_beside(neither, "password")
    assert [each.revision for each in sheets(book)] == ["C"]
    assert drafts(book) != []


def test_second_chief_engineer_who_was_too_late_has_signed_nothing_and_is_told_so(book: Book) -> None:
    visitor = a_copy(book)
    a_person(book, "R. Osk", Role.CHIEF)
    other = Visitor(an_app(book)).sign_in("R. Osk")
    form = the_form(other)
    visitor.post(APPROVE, the_form(visitor))

    other.get("/sheets")
    page = other.post(APPROVE, form | {"csrf": other.csrf}, 409).text

    assert "This draft became QM-GA rev E before" in words_of(page)
    assert [each.person for each in approvals_of(book, "QM-GA", "E")] == ["I. Brandreth"]


def test_draft_with_gaps_is_not_approved(book: Book) -> None:
    visitor = a_draft(book)
    visitor.get("/drafts/1")

    visitor.post(APPROVE, {"version": "1"}, 422)

    assert sheets(book) == []


def test_approval_from_a_stale_page_is_asked_for_again(book: Book) -> None:
    visitor = a_copy(book)
    visitor.get("/drafts/1")

    page = visitor.post(APPROVE, {"version": "1"}, 409).text

    assert "changed in another tab" in page
    assert [each.revision for each in sheets(book)] == ["C"]


def test_doubts_are_accepted_by_name_before_a_draft_is_approved(book: Book) -> None:
    visitor = a_copy(book)
    send(visitor, "/drafts/1/stages/1", do="keep", **{"suction-valve/lift/value-upper": "2.10"})
    form = the_form(visitor)
    page = visitor.page

    refused = visitor.post(APPROVE, form, 422).text
    visitor.post(APPROVE, form | {"accepted": "yes"})

    assert "a new maximum clear of the upper limit 2.10" in words_of(page)
    assert 'href="/drafts/1/stages/1#f-of-suction-valve"' in page
    assert "Accept these by name" in refused
    assert len(sheets(book)) == 2


def test_revision_that_is_in_the_book_is_refused_in_words(book: Book) -> None:
    visitor = a_copy(book)
    send(visitor, "/drafts/1/head", revision="C", document="Another manual")

    page = visitor.post(APPROVE, the_form(visitor), 409).text

    assert "is in the book with another text" in page


def test_name_that_cannot_stand_in_an_address_is_refused_in_words(book: Book) -> None:
    visitor = a_copy(book)
    send(visitor, "/drafts/1/head", name="QM/GA")

    page = visitor.post(APPROVE, the_form(visitor), 422).text

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
