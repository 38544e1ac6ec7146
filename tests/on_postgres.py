"""Books in PostgreSQL: which tests run on one too, and a database for them where an address is given."""

import atexit
import os
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from functools import cache
from pathlib import Path
from uuid import uuid4

import pytest

from app.store.book import Book
from app.store.migration import migrate
from app.store.postgres import read_address, seal_statements

VARIABLE = "WEARBOOK_TEST_POSTGRES"
ADDRESS = os.environ.get(VARIABLE, "")  # of a database, with a name that may do everything there
SEALED: dict[str, list[str]] = {}
MISSING = f"{VARIABLE} names no PostgreSQL database, so nothing was tried on one."
ALSO_ON_POSTGRES = {
    *(f"store/test_{name}.py" for name in ("book", "chain", "decimals", "evidence", "facts", "history", "machines")),
    *(
        f"store/test_{name}.py"
        for name in ("overhauls", "people", "readings", "search", "sealed_tables", "site_signatures")
    ),
    "store/test_sheets.py",
    "actions/test_due_plan.py",
    "actions/test_listed_machines.py",
    "web/test_history_held.py",
    *(f"web/test_{name}.py" for name in ("gauging", "pins", "second_looks", "sent_entries", "signing")),
    *(
        f"web/test_{name}.py"
        for name in ("amended_verdicts", "double_submit", "elsewhere", "elsewhere_keys", "sheet_approvals")
    ),
}
BOTH = ("file", pytest.param("postgresql", marks=pytest.mark.skipif(not ADDRESS, reason=MISSING)))


def is_tried_on_both(metafunc: pytest.Metafunc) -> bool:
    """Whether a test runs on each kind of book: its module does, and it is not about files."""
    place = "/".join(metafunc.definition.path.parts[-2:])
    is_about_files = metafunc.definition.get_closest_marker("about_files") is not None
    return "book" in metafunc.fixturenames and place in ALSO_ON_POSTGRES and not is_about_files


def wants_postgres(request: pytest.FixtureRequest) -> bool:
    """Whether this run of a test is the one on PostgreSQL."""
    return getattr(request, "param", "file") == "postgresql"


@contextmanager
def a_book_on_postgres(folder: Path) -> Iterator[Book]:
    """A book in the newest form without any rows; afterwards all that was done to it is undone."""
    address = _migrated()
    with closing(_book(folder, address)) as book:
        yield book
    _undo(address)


@contextmanager
def a_database() -> Iterator[str]:
    """An address at which there is an empty database, dropped afterwards."""
    name = f"wearbook_test_{uuid4().hex}"
    _ask(ADDRESS, f"CREATE DATABASE {name} TEMPLATE template0 ENCODING UTF8 LOCALE 'C'")
    try:
        yield read_address(ADDRESS).set(database=name).render_as_string(hide_password=False)
    finally:
        _ask(ADDRESS, f"DROP DATABASE {name} WITH (FORCE)")


@cache
def _migrated() -> str:
    """The address of a database in the newest form, made once a run, since making and migrating take the longest."""
    database = a_database()
    address = database.__enter__()
    atexit.register(database.__exit__, None, None, None)
    with closing(_book(Path(tempfile.gettempdir()), address)) as book:
        migrate(book)
    sealed = "SELECT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid WHERE tgname LIKE '%refuses%'"
    SEALED[address] = [name for (name,) in _ask(address, sealed)]
    return address


def _undo(address: str) -> None:
    """Empty every table past its seal, begin to count anew, and seal what a test has opened."""
    tables = "SELECT relname FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace"
    names = [name for (name,) in _ask(address, tables) if name != "alembic_version"]
    counts = "SELECT setval(oid, 1, false) FROM pg_class WHERE relkind = 'S'"
    seals = [statement.replace("CREATE TRIGGER", "CREATE OR REPLACE TRIGGER") for table in SEALED[address]
             for statement in seal_statements(table)]  # fmt: skip
    emptied = [f"DELETE FROM {name}" for name in names]
    _ask(address, "; ".join(["SET session_replication_role = replica", *emptied, *seals]))
    _ask(address, counts)


def _book(folder: Path, address: str) -> Book:
    return Book(folder / "wearbook.db", read_address(address))


def _ask(address: str, statement: str) -> list[tuple[str]]:
    """Ask the server for something outside the program."""
    import psycopg  # where no address is given, it need not be installed

    plain = read_address(address).set(drivername="postgresql").render_as_string(hide_password=False)
    with psycopg.connect(plain, autocommit=True) as connection:
        answer = connection.execute(statement)
        return answer.fetchall() if answer.description else []
