"""Tests of the limit sheets' pages."""

from app.actions.sheets import one_sheet, sheet_names, sheets
from app.store.book import Book
from tests.builders import NOW, a_machine, a_sheet, a_sheet_text, an_overhaul
from tests.web.visitor import a_chief, a_visitor, an_auditor, words_of

DOUBTFUL = ("{ upper = 2.50,", "{ upper = 2.10,")  # a new valve lift of 2.20 would be past its own limit


def test_a_pasted_sheet_comes_in_and_leads_to_the_first_machine(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/sheets/import")

    answer = visitor.post("/sheets/import", {"text": a_sheet_text().replace("\n", "\r\n")})

    assert answer.headers["location"] == "/machines/new?done=sheet"
    assert "step 3 of 3" in visitor.follow(answer).text
    assert one_sheet(book, "QM-GA", "C")[1] == a_sheet_text()


def test_a_sheet_comes_in_as_a_file_and_then_its_page_is_shown(book: Book) -> None:
    a_machine(book)
    visitor = a_chief(book)
    visitor.get("/sheets/import")
    file = {"file": ("qm-ba.toml", a_sheet_text("qm-ba.toml").encode(), "text/plain")}

    answer = visitor.post("/sheets/import", {"text": ""}, files=file)
    page = visitor.follow(answer)

    assert answer.headers["location"] == "/sheets/QM-BA/A?done=sheet"
    assert "Limit sheet imported." in page.text
    assert sheet_names(book) == ["QM-BA", "QM-GA"]


def test_the_same_sheet_sent_twice_is_in_the_book_once(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/sheets/import")

    for _ in range(2):
        visitor.post("/sheets/import", {"text": a_sheet_text()})
        visitor.get("/sheets/import")

    assert len(sheets(book)) == 1


def test_every_fault_is_named_at_once_with_its_line_and_the_text_is_still_there(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/sheets/import")
    text = a_sheet_text().replace('method = "caliper"', 'method = "ruler"').replace("bore = 140.00", "bore = -1")

    answer = visitor.post("/sheets/import", {"text": text}, 422)

    words, lines = words_of(answer.text), text.splitlines()
    rulers = [number for number, line in enumerate(lines, 1) if line == 'method = "ruler"']
    assert f"{1 + lines.index('bore = -1')} stage 1, bore" in words
    assert len(rulers) > 3
    assert all(f" {number} stage" in words for number in rulers)
    assert "method = &#34;ruler&#34;" in answer.text
    assert sheets(book) == []


def test_warnings_stand_until_they_are_accepted_by_name(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/sheets/import")
    text = a_sheet_text().replace(*DOUBTFUL)

    refused = visitor.post("/sheets/import", {"text": text}, 422)
    names_before = sheet_names(book)
    visitor.post("/sheets/import", {"text": text, "accepted": "yes"})

    assert "Accepted by I. Brandreth" in refused.text
    assert "a new maximum clear of the upper limit 2.10; found 2.20" in words_of(refused.text)
    assert names_before == []
    assert sheet_names(book) == ["QM-GA"]


def test_nothing_and_a_file_that_is_no_text_are_refused_in_words(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/sheets/import")

    nothing = visitor.post("/sheets/import", {"text": " "}, 422)
    no_text = visitor.post(
        "/sheets/import", {"text": "kept"}, 422, files={"file": ("x.toml", b"\xff\xfe\x00", "text/plain")}
    )
    no_toml = visitor.post("/sheets/import", {"text": "a\0b"}, 422)

    assert "Choose a file, or paste the text of the sheet." in nothing.text
    assert "a text in UTF-8" in no_text.text
    assert ">kept</textarea>" in no_text.text
    assert "a\N{REPLACEMENT CHARACTER}b" in no_toml.text


def test_another_text_for_a_revision_in_the_book_is_refused_and_still_there(book: Book) -> None:
    a_sheet(book)
    visitor = a_chief(book)
    visitor.get("/sheets/import")

    answer = visitor.post("/sheets/import", {"text": a_sheet_text() + "\n# Another.\n"}, 409)

    assert "is in the book with another text" in answer.text
    assert "# Another." in answer.text
    assert one_sheet(book, "QM-GA", "C")[1] == a_sheet_text()


def test_a_name_that_cannot_stand_in_an_address_is_refused(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/sheets/import")

    name = visitor.post("/sheets/import", {"text": a_sheet_text().replace('"QM-GA"', '"QM/GA"')}, 422)
    revision = visitor.post(
        "/sheets/import", {"text": a_sheet_text().replace('revision = "C"', 'revision = ".."')}, 422
    )

    assert "sheet, name" in name.text
    assert "sheet, revision" in revision.text


def test_the_list_says_which_revision_judges_next_and_which_is_used(book: Book) -> None:
    first = a_sheet(book, "qm-ga-b.toml")
    machine = a_machine(book)
    an_overhaul(book, machine, "2000", NOW, first)
    visitor = an_auditor(book)

    words = words_of(visitor.get("/sheets").text)

    assert (
        words.index("QM-GA rev C") < words.index("judges the next overhaul not used yet") < words.index("QM-GA rev B")
    )
    assert "replaced by a later revision used, so it never changes" in words
    assert "Bring in" not in words


def test_a_sheet_is_readable_with_every_limit_and_what_follows_past_it(book: Book) -> None:
    a_sheet(book)

    words = words_of(an_auditor(book).get("/sheets/QM-GA/C").text)

    assert "Closed gap 2-03 Ring 1 , 2-04 Ring 2 , 2-05 Ring 3 feeler, square in the bore" in words
    assert "0.20 to 0.35 at most 0.65 on the limit passes RENEW ring set table 4" in words
    assert "overall difference at most 0.105 on the limit fails REWORK Hone to 140.25." in words
    assert "one to renew renews them all" in words


def test_a_characteristic_without_a_limit_says_so(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/sheets/import")
    text = a_sheet_text().replace('limit = [\n    { lower = 17.0, renews = "plate and springs" },\n]\n', "", 1)
    visitor.post("/sheets/import", {"text": text, "accepted": "yes"})

    assert "no limit: kept for the record" in visitor.get("/sheets/QM-GA/C").text


def test_the_file_comes_back_as_it_was_imported(book: Book) -> None:
    a_sheet(book)

    answer = a_visitor(book).get("/sheets/QM-GA/C/file")

    assert answer.text == a_sheet_text()
    assert answer.headers["content-type"] == "text/plain; charset=utf-8"
    assert answer.headers["content-disposition"] == "attachment; filename*=UTF-8''QM-GA-C.toml"


def test_a_sheet_that_is_not_there_is_not_found(book: Book) -> None:
    visitor = a_visitor(book)

    visitor.get("/sheets/QM-GA/Z", 404)
    visitor.get("/sheets/QM-GA/Z/file", 404)


def test_only_a_chief_engineer_brings_a_sheet_in(book: Book) -> None:
    for visitor in (a_visitor(book), an_auditor(book)):
        visitor.get("/sheets/import", 403)
        visitor.post("/sheets/import", {"text": a_sheet_text()}, 403)

    assert sheets(book) == []


def test_an_empty_list_leads_the_chief_engineer_on(book: Book) -> None:
    chief, fitter = a_chief(book), a_visitor(book)

    assert 'href="/sheets/import"' in chief.get("/sheets").text
    assert "A chief engineer brings one in." in fitter.get("/sheets").text
