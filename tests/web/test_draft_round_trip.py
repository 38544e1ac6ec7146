"""Every form of the sheet builder, kept with nothing changed, leaves a sheet's text as it is, to the letter."""

from collections.abc import Iterable, Iterator, Mapping

import pytest

from app.actions.draft_changes import (
    put_closing,
    put_figures,
    put_head,
    put_judging,
    put_part,
    put_proving,
    put_renewed,
    put_sets,
    put_task,
)
from app.actions.draft_places import Place, changed
from app.actions.sheet_drafts import draft_now
from app.domain.draft_values import Values, apart, key_of, tables
from app.domain.sheet_file import read_sheet, toml_values
from app.domain.sheet_text import write_sheet
from app.store.book import Book
from tests.builders import a_sheet_text
from tests.web.drafting import a_draft, send
from tests.web.forms import form_of
from tests.web.visitor import Visitor

Typed = dict[str, str]


def a_draft_of(book: Book, text: str) -> Visitor:
    """A chief engineer in front of a draft with this text."""
    visitor = a_draft(book)
    visitor.get("/drafts/1/text")
    visitor.follow(visitor.post("/drafts/1/text", form_of(visitor.page, "/drafts/1/text") | {"text": text}))
    return visitor


def forms_of(visitor: Visitor, pages: Iterable[str]) -> dict[str, Typed]:
    """What every form of a draft would send as it is shown, by its page."""
    found = {}
    for page in pages:
        visitor.get(f"/drafts/1/{page}")
        found[page] = {key: str(value) for key, value in form_of(visitor.page, f"/drafts/1/{page}").items()}
    return found


def pages_of(values: Values) -> Iterator[str]:
    """Every page of a draft whose form changes its text."""
    yield from ("head", "renewed", "proving", "instruments")
    for number, stage in enumerate(tables(values, "stage"), start=1):
        yield from (f"stages/{number}", f"stages/{number}/closing")
        yield from (f"stages/{number}/parts/{name}" for name, _ in apart(tables(stage, "part"), key_of))
    yield from (f"tasks/{name}" for name, _ in apart(tables(values, "task"), key_of))


def put_all(sheet: Place, forms: Mapping[str, Typed]) -> None:
    """Put every form of a draft in, each as its page does."""
    by_page = {"head": put_head, "renewed": put_renewed, "proving": put_proving, "instruments": put_judging}
    for page, put in by_page.items():
        put(sheet, forms[page])
    for number, (_, stage) in enumerate(sheet.named("stage"), start=1):
        put_figures(stage, forms[f"stages/{number}"])
        put_sets(stage, forms[f"stages/{number}"])
        put_closing(stage, forms[f"stages/{number}/closing"])
        for key, part in stage.named("part"):
            put_part(part, key, forms[f"stages/{number}/parts/{key}"])
    for key, task in sheet.named("task"):
        put_task(task, forms[f"tasks/{key}"])


@pytest.mark.parametrize("file", ["qm-ga.toml", "qm-guarded.toml", "exported"])
def test_every_form_kept_untouched_changes_no_letter_of_a_sheet(book: Book, file: str) -> None:
    text = write_sheet(read_sheet(a_sheet_text("qm-ba.toml"))) if file == "exported" else a_sheet_text(file)
    visitor = a_draft_of(book, text)

    forms = forms_of(visitor, pages_of(toml_values(text)))

    assert len(forms) > 10
    assert changed(text, lambda sheet: put_all(sheet, forms)) == text


def test_page_of_each_kind_kept_untouched_is_no_change_of_the_draft(book: Book) -> None:
    visitor = a_draft_of(book, a_sheet_text())

    for page in ("stages/1/closing", "stages/1/parts/cylinder", "proving", "instruments", "tasks/oil-change"):
        send(visitor, f"/drafts/1/{page}", do="keep")

    assert draft_now(book, 1).draft.version == 2
