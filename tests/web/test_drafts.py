"""Tests of the sheet builder's pages: nothing typed is lost, and nothing is in force before it is approved."""

import pytest

from app.actions.sheet_drafts import draft_now, drafts
from app.actions.sheets import sheets
from app.store.book import Book
from app.store.chain import chain_head
from tests.web.drafting import ANSWERS, a_draft, send
from tests.web.forms import form_of, said_beside, typed_in
from tests.web.visitor import a_chief, words_of

GAP = "ring/closed-gap/value-upper"


def test_answers_lay_out_a_draft_that_is_no_evidence(book: Book) -> None:
    visitor = a_chief(book)
    visitor.get("/drafts/new")
    with book.reading() as session:
        before = chain_head(session)

    answer = visitor.post("/drafts/new", ANSWERS)

    with book.reading() as session:
        assert chain_head(session) == before
    assert answer.headers["location"] == "/drafts/1/head?done=draft-begun"
    assert [draft.title for draft in drafts(book)] == ["QM-X rev A"]
    assert sheets(book) == []
    assert "QM-X rev A" in visitor.get("/sheets").text


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"name": ""}, "name"), ({"revision": " "}, "revision"), ({"machine_type": "x" * 61}, "machine_type"),
        ({"bore-1": "", "bore-2": ""}, "bore-1"), ({"rings-1": "13"}, "rings-1"), ({"rings-1": "two"}, "rings-1"),
    ],
)  # fmt: skip
def test_missing_answers_are_asked_for_beside_their_fields(book: Book, typed: dict[str, str], field: str) -> None:
    visitor = a_chief(book)
    visitor.get("/drafts/new")

    page = visitor.post("/drafts/new", ANSWERS | typed, 422).text

    assert said_beside(page, field)
    assert typed_in(page, "stroke-1") == "110"
    assert drafts(book) == []


def test_whatever_is_typed_is_kept_and_what_is_wrong_stands_beside_its_field(book: Book) -> None:
    page = send(a_draft(book), "/drafts/1/stages/1", do="keep", bore="abc", **{GAP: "0,70"})

    assert "found “abc”" in words_of(page)
    assert typed_in(page, "bore") == "abc"
    assert 'value="0.70"' in page
    assert "upper = 0.70" in draft_now(book, 1).draft.text


def test_stale_form_is_told_so_and_what_was_typed_stays_and_can_be_kept_again(book: Book) -> None:
    visitor = a_draft(book)
    visitor.get("/drafts/1/stages/1")
    stale = form_of(visitor.page, "/drafts/1/stages/1")
    send(visitor, "/drafts/1/stages/1", do="keep", stroke="112")

    page = visitor.post("/drafts/1/stages/1", stale | {"do": "keep", GAP: "0.90"}, 409).text
    between = draft_now(book, 1).draft.text
    visitor.post("/drafts/1/stages/1", form_of(page, "/drafts/1/stages/1") | {"do": "keep", GAP: "0.90"})

    assert "changed in another tab" in page
    assert 'value="0.90"' in page
    assert "stroke = 112" in between
    assert "0.90" not in between
    assert "upper = 0.90" in draft_now(book, 1).draft.text


@pytest.mark.parametrize("page", ["head", "renewed", "text", "stages/1/parts/ring"])
def test_every_form_tells_that_it_is_stale(book: Book, page: str) -> None:
    visitor = a_draft(book)
    send(visitor, "/drafts/1/head", note="changed")
    visitor.get(f"/drafts/1/{page}")

    stale = form_of(visitor.page, f"/drafts/1/{page}") | {"version": "1"}

    assert "changed in another tab" in visitor.post(f"/drafts/1/{page}", stale, 409).text


def test_drawing_grows_with_what_is_typed_and_nothing_is_kept_by_it(book: Book) -> None:
    visitor = a_draft(book)
    visitor.get("/drafts/1/stages/1")
    before = visitor.page
    typed = form_of(before, "/drafts/1/stages/1") | {
        "bore": "155.5",
        GAP: "0.9",
        "ring/side-clearance/value-upper": "0.2",
    }

    drawn = visitor.post("/_fragments/drafts/1/stages/1", typed, 200).text

    assert "⌀ 140" in before
    assert "⌀ 155.5" in drawn
    assert before.count('class="pa notgauged"') == drawn.count('class="pa notgauged"') + 3
    assert draft_now(book, 1).draft.version == 1


def test_every_fault_leads_to_the_field_that_mends_it(book: Book) -> None:
    visitor = a_draft(book)
    send(
        visitor,
        "/drafts/1/stages/1",
        do="keep",
        bore="x",
        **{"pin/diameter/new-lower": "5", "pin/diameter/new-upper": "4"},
    )
    send(visitor, "/drafts/1/stages/1/parts/ring", do="keep", count="99")

    page = visitor.get("/drafts/1").text

    for field in (
        "stages/1#f-bore",
        "stages/1#f-pin/diameter/new-lower",
        "stages/1/parts/ring#f-count",
        "head#f-document",
    ):
        assert f'href="/drafts/1/{field}"' in page
        address, _, name = field.partition("#")
        assert f'id="{name}"' in visitor.get(f"/drafts/1/{address}").text


def test_part_is_added_changed_and_taken_out(book: Book) -> None:
    visitor = a_draft(book)

    nameless = send(visitor, "/drafts/1/stages/1", 422, do="add-part", bore="141")
    send(visitor, "/drafts/1/stages/1", do="add-part", **{"part-name": "Oil ring", "part-kind": "ring"})
    changed = send(visitor, "/drafts/1/stages/1/parts/oil-ring", do="keep", name="Scraper ring", joint="step",
                   **{"add-name": "Width", "add-method": "micrometer", "add-bound": "lower"})  # fmt: skip
    unsure = send(visitor, "/drafts/1/stages/1/parts/oil-ring", 422, do="remove")
    without = send(visitor, "/drafts/1/stages/1/parts/oil-ring", do="remove", sure="yes")

    assert said_beside(nameless, "part-name")
    assert typed_in(nameless, "bore") == "141"
    assert "Scraper ring" in changed
    assert "oil-ring/width/value-lower" in changed
    assert said_beside(unsure, "sure")
    assert "Scraper ring" not in without


def test_stage_is_added_and_taken_out_only_when_it_is_meant(book: Book) -> None:
    visitor = a_draft(book)
    visitor.get("/drafts/1")
    visitor.follow(visitor.post("/drafts/1/stages", form_of(visitor.page, "/drafts/1/stages")))

    unsure = send(visitor, "/drafts/1/stages/3", 422, do="remove")
    send(visitor, "/drafts/1/stages/3", do="remove", sure="yes")

    assert said_beside(unsure, "sure")
    visitor.get("/drafts/1/stages/3", 404)
    assert visitor.post("/drafts/1/stages", {"version": "1"}, 409).status_code == 409


def test_text_that_is_no_toml_comes_back_as_it_was_typed(book: Book) -> None:
    visitor = a_draft(book)

    page = send(visitor, "/drafts/1/text", 422, text="[sheet\nname = 1")
    kept = send(visitor, "/drafts/1/text", text="[sheet]\nname = 'Y'\nstage = 3\n")

    assert "[sheet\nname = 1</textarea>" in page
    assert said_beside(page, "text")
    assert "Y rev ?" in kept


def test_draft_of_whatever_shape_is_shown_and_never_breaks_a_page(book: Book) -> None:
    visitor = a_draft(book)
    odd = "always = [{name = 3}]\n[[stage]]\nbore = [1]\npart = [{kind = 3, count = 2, order = 3}, "
    odd += '{key = "a", characteristic = [{limit = [{}, {}]}]}]\n'
    send(visitor, "/drafts/1/text", text=odd)

    pages = [
        visitor.get(f"/drafts/1{page}").text for page in ("", "/head", "/stages/1", "/renewed", "/stages/1/parts/a")
    ]

    assert all("Traceback" not in page for page in pages)
    visitor.get("/drafts/1/stages/1/parts/~1")
    visitor.get("/drafts/1/stages/1/parts/nothing", 404)


def test_set_and_line_that_is_always_renewed_are_kept_and_taken_out(book: Book) -> None:
    visitor = a_draft(book)

    send(
        visitor,
        "/drafts/1/stages/1",
        do="keep",
        **{"set-name": "Both valves", "set-members": "suction-valve, delivery-valve"},
    )
    send(
        visitor, "/drafts/1/renewed", **{"always/new/name": "Gasket", "always/new/number": "9", "always/new/stage": "1"}
    )
    kept = draft_now(book, 1).draft.text
    send(visitor, "/drafts/1/stages/1", do="keep", **{"set/both-valves/remove": "yes"})
    send(visitor, "/drafts/1/renewed", **{"always/~1/remove": "yes"})

    assert 'members = ["suction-valve", "delivery-valve"]' in kept
    assert 'number = "9"\nstage = 1' in kept
    assert "[[always]]" not in draft_now(book, 1).draft.text
    assert "[[stage.set]]" not in draft_now(book, 1).draft.text
