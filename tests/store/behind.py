"""What somebody can do behind the book's back who may write its file, or its database."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, create_engine, text

from app.store.book import Book

ON_SERVER = "SELECT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid WHERE tgname LIKE '%refuses%'"


@contextmanager
def past_the_book(book: Book) -> Iterator[Connection]:
    """A connection of its own, past the program; what is done is kept where nothing fails."""
    engine = create_engine(book.url)
    try:
        with engine.begin() as connection:
            yield connection
    finally:
        engine.dispose()


def behind_the_book(book: Book, table: str, *statements: str) -> None:
    """Take a table's seal off and change it."""
    with past_the_book(book) as connection:
        verbs = ("update", "delete") if book.is_file else ("change",)
        for verb in verbs:
            on = "" if book.is_file else f" ON {table}"
            connection.execute(text(f"DROP TRIGGER IF EXISTS {table}_refuses_{verb}{on}"))
        for statement in statements:
            connection.execute(text(statement))


def sealed_tables(book: Book) -> set[str]:
    """The tables that have a seal."""
    asked = (
        "SELECT tbl_name FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%refuses%'"
        if book.is_file
        else ON_SERVER
    )
    with past_the_book(book) as connection:
        return set(connection.execute(text(asked)).scalars())
