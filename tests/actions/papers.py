"""Old paper of stage 2 of GA-1, looked through and brought into the book, and an overhaul done in it."""

from datetime import UTC, datetime, timedelta

from app.actions.old_paper import Checked, check_paper
from app.actions.old_paper_kept import keep_from_paper, setting_of
from app.actions.reading_file import ReadingText
from app.domain.people import Person
from app.domain.readings import Occasion, Reading
from app.store.book import Book
from app.store.overhauls import get_overhaul
from tests.builders import an_overhaul, enter, good_readings, sign_all
from tests.old_paper import Cells, a_sheet, a_table, good_rows

NOW = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)
BEGAN = datetime(2020, 1, 1, 12, 0, tzinfo=UTC)
HEAD = {"date": "1999-03-02", "hours": "9350"}


def rows_of(name: str = "7", date: str = "1999-03-02", hours: str = "9350", **cells: str) -> list[Cells]:
    """A sound row for every place of stage 2, as one overhaul."""
    return [row | {"overhaul": name, "date": date, "hours": hours} | cells for row in good_rows(a_sheet(), 2)]


def instead(rows: list[Cells], part: str, characteristic: str, **cells: str) -> list[Cells]:
    """The rows with other cells where a characteristic of a part is gauged."""
    return [row | cells if (row["part"], row["characteristic"]) == (part, characteristic) else row for row in rows]


def looked_through(book: Book, text: str) -> Checked:
    """A text looked through."""
    with book.reading() as session:
        setting = setting_of(session, "GA-1", "QM-GA", "C")
    return check_paper(ReadingText(text), setting, NOW, lambda *_: None)


def bring_in(book: Book, chief: Person, *rows: Cells) -> list[bool]:
    """Rows looked through and kept."""
    found = looked_through(book, a_table(list(rows)))
    assert [line.words for line in found.lines] == []
    with book.reading() as session:
        setting = setting_of(session, "GA-1", "QM-GA", "C")
    return [keep_from_paper(book, chief, setting, ready, "old.csv", NOW) for ready in found.ready]


def a_returned_overhaul(book: Book, *worn: Reading) -> int:
    """Stage 2 of GA-1 opened, found sound but for what is worn, and returned in 2021."""
    at = BEGAN + timedelta(days=400)
    with book.reading() as session:
        machine = setting_of(session, "GA-1", "QM-GA", "C").machine
    overhaul_id = an_overhaul(book, machine, "61000", at, a_sheet(), stages=(2,))
    with book.reading() as session:
        parts = get_overhaul(session, overhaul_id).parts
    enter(book, overhaul_id, *good_readings(parts, Occasion.AS_FOUND, at), *worn)
    sign_all(book, overhaul_id, at)
    return overhaul_id
