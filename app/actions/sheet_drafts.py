"""Limit sheets in the making: begun, changed by forms, checked all the while, and approved as a revision."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from app.actions.draft_places import Place, changed, text_of
from app.actions.pictures import Picture
from app.actions.sheet_approvals import confirmed_page, seal_revision
from app.actions.sheets import WarningsStand, checked_sheet, one_sheet
from app.domain.draft_values import Values, shown, table
from app.domain.errors import InputRefused, Sealed, WearbookError
from app.domain.limits import LimitSheet
from app.domain.people import Person, Right
from app.domain.sheet_faults import Fault
from app.domain.sheet_file import faults_in, read_sheet, sheet_warnings, toml_values
from app.domain.sheet_skeleton import SheetAnswer, skeleton
from app.store.book import Book
from app.store.sheet_drafts import (
    SheetDraft,
    close_draft,
    drop_draft,
    get_draft,
    list_drafts,
    save_draft,
    save_new_draft,
)
from app.store.sheets import save_sheet

NEEDED = {"name": "the sheet's name", "revision": "its revision", "machine_type": "the type of machine"}
LONGEST = 60


class DraftStale(WearbookError):
    """A form comes from a page that is older than what stands in the draft now; nothing of it was stored."""


@dataclass(frozen=True)
class Approving:
    """What a chief engineer sends to approve a draft: of which version, and what the signature needs."""

    version: str
    is_accepted: bool
    password: str
    page: tuple[str, bytes] = ("", b"")  # the file of the source page's picture, by name and content


@dataclass(frozen=True)
class DraftNow:
    """A draft as it stands: its tables, what is wrong or missing, and what a person must accept by name."""

    draft: SheetDraft
    values: Values
    faults: tuple[Fault, ...]
    warnings: tuple[Fault, ...]

    @property
    def missing(self) -> tuple[Fault, ...]:
        """What is still to be filled in."""
        return tuple(fault for fault in self.faults if fault.is_missing)

    @property
    def wrong(self) -> tuple[Fault, ...]:
        """What is not as expected."""
        return tuple(fault for fault in self.faults if not fault.is_missing)


def drafts(book: Book) -> list[SheetDraft]:
    """Every draft that has not become a revision yet."""
    with book.reading() as session:
        return list_drafts(session)


def draft_now(book: Book, draft_id: int) -> DraftNow:
    """One draft as it stands."""
    with book.reading() as session:
        return looked_at(get_draft(session, draft_id))


def looked_at(draft: SheetDraft) -> DraftNow:
    """Read a draft through the reader of every sheet."""
    faults = faults_in(draft.text)
    warnings = () if faults else sheet_warnings(read_sheet(draft.text))
    return DraftNow(draft, toml_values(draft.text), faults, warnings)


def begin_draft(book: Book, by: Person, answer: SheetAnswer, now: datetime) -> int:
    """Begin a sheet from a handful of answers."""
    by.must(Right.MANAGE_SHEETS)
    refused = refused_in(answer)
    if not answer.stages:
        refused["bore-1"] = "Fill in the bore of the first stage at least."
    if refused:
        raise InputRefused(refused)
    return _keep_new(book, by, text_of(skeleton(answer)), now)


def refused_in(answer: SheetAnswer) -> dict[str, str]:
    """Say which answers about a sheet are missing or too long."""
    typed = {"name": answer.name, "revision": answer.revision, "machine_type": answer.machine_type}
    return {
        key: f"Fill in {NEEDED[key]}, with at most {LONGEST} characters."
        for key, word in typed.items()
        if not 0 < len(word) <= LONGEST or not word.isprintable()
    }


def begin_from_values(book: Book, by: Person, values: Values, now: datetime) -> int:
    """Begin a sheet from tables that were read elsewhere."""
    by.must(Right.MANAGE_SHEETS)
    return _keep_new(book, by, text_of(values), now)


def copy_sheet(book: Book, by: Person, name: str, revision: str, now: datetime) -> int:
    """Begin a sheet as a copy of a revision; the copy is another revision, which is still to be named."""
    by.must(Right.MANAGE_SHEETS)
    _, text = one_sheet(book, name, revision)
    return _keep_new(book, by, changed(text, _without_revision), now)


def _without_revision(sheet: Place) -> None:
    """Leave the revision to be filled in: a revision never changes."""
    sheet.within("sheet").put_text("revision", "", is_kept_empty=True)


def change_draft(
    book: Book, by: Person, draft_id: int, version: str, change: Callable[[Place], object], now: datetime
) -> DraftNow:
    """Make one change in a draft; DraftStale where the form is older than the draft."""
    found = _for_change(book, by, draft_id, version)
    return _keep(book, by, found, changed(found.text, change), now)


def write_draft(book: Book, by: Person, draft_id: int, version: str, text: str, now: datetime) -> DraftNow:
    """Put another text in the place of the draft's; SheetRefused where it is no TOML at all."""
    found = _for_change(book, by, draft_id, version)
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    toml_values(text)
    return _keep(book, by, found, text, now)


def drawn_with(book: Book, by: Person, draft_id: int, change: Callable[[Place], object]) -> DraftNow:
    """Look at a draft as it would be with a change, storing nothing."""
    by.must(Right.MANAGE_SHEETS)
    found = draft_now(book, draft_id).draft
    return looked_at(replace(found, text=changed(found.text, change)))


def approve_draft(book: Book, by: Person, draft_id: int, sent: Approving, now: datetime) -> LimitSheet:
    """Make a draft a revision with its signature, both or neither; sent twice, it comes in once."""
    by.must(Right.MANAGE_SHEETS)
    draft = draft_now(book, draft_id).draft
    if not draft.approved_as and sent.version != str(draft.version):
        raise DraftStale
    text, sheet, warnings = checked_sheet(draft.text)
    picture = _picture_if_confirmed(book, by, sent, warnings, now)
    with book.writing(by.name, now) as writing:
        there = get_draft(writing.session, draft_id)
        if there.text != draft.text:  # changed by another form while the signature was on its way
            raise DraftStale
        save_sheet(writing, text, sheet, by.name if warnings else "")
        is_new = seal_revision(writing, (sheet.name, sheet.revision), picture)
        if there.approved_as and is_new:
            raise Sealed(f"This draft became {there.approved_as} before. Sign that revision on its own page.")
        close_draft(writing.session, draft_id, sheet.title)
    return sheet


def _picture_if_confirmed(
    book: Book, by: Person, sent: Approving, warnings: tuple[Fault, ...], now: datetime
) -> Picture | None:
    """Give the picture of the source page, if one was sent; all that is refused is named at once."""
    refused = WarningsStand(warnings).fields if warnings and not sent.is_accepted else {}
    try:
        picture = confirmed_page(book, by, sent.password, sent.page, now)
    except InputRefused as refusal:
        raise InputRefused(refused | refusal.fields) from None
    if refused:
        raise InputRefused(refused)
    return picture


def throw_away(book: Book, by: Person, draft_id: int) -> None:
    """Throw a draft away."""
    by.must(Right.MANAGE_SHEETS)
    drop_draft(book, draft_id)


def _for_change(book: Book, by: Person, draft_id: int, version: str) -> SheetDraft:
    """Give a draft that may be changed by a form of this version."""
    by.must(Right.MANAGE_SHEETS)
    draft = draft_now(book, draft_id).draft
    if draft.approved_as:
        raise Sealed(f"This draft became {draft.approved_as}, which never changes. Begin a copy of it.")
    if version != str(draft.version):
        raise DraftStale
    return draft


def _keep(book: Book, by: Person, found: SheetDraft, text: str, now: datetime) -> DraftNow:
    """Keep a changed text; a draft that another form changed at this very moment is stale too."""
    if text != found.text and not save_draft(book, found, _title(text), text, by.name, now):
        raise DraftStale
    return draft_now(book, found.id)


def _keep_new(book: Book, by: Person, text: str, now: datetime) -> int:
    """Keep a new draft."""
    return save_new_draft(book, _title(text), text, by.name, now)


def _title(text: str) -> str:
    """Call a draft as its head does."""
    head = table(toml_values(text), "sheet")
    words: Sequence[str] = shown(head.get("name")), shown(head.get("revision"))
    return f"{words[0] or 'without a name'} rev {words[1] or '?'}"[:200]
