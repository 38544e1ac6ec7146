"""Moves a book from its file into PostgreSQL: everything in one transaction, verified there before it is kept."""

import hashlib
from typing import Any

from sqlalchemy import Connection, Table, func, insert, inspect, select, text
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session, SQLModel

from app.domain.canonical import canonical
from app.domain.errors import WearbookError
from app.store.book import MEMORY, Book
from app.store.chain import ROWS_AT_ONCE, chain_head, verify_chain
from app.store.evidence import verify_evidence
from app.store.migration import newest_revision, upgrade
from app.store.rows import table_of
from app.store.search import EntryWordsRow, index

Row = dict[str, Any]


class NotMoved(WearbookError):
    """The book was not moved; the file is as it was, and nothing was kept in the database."""


def move(source: Book, target: Book) -> dict[str, int]:
    """Copy a whole book into an empty database; give how many rows each table has."""
    if source.revision() != newest_revision():
        raise NotMoved(f"{source.place} is not in this version's form. Serve it once, which brings it up to date.")
    try:
        with source.reading() as session, target.writer.begin() as connection:
            _must_be_empty(connection, target)
            upgrade(connection)
            counts = {table.name: _copy(session.connection(), connection, table) for table in _tables(session)}
            _must_have_arrived(session, connection)
    except DBAPIError as reason:
        raise NotMoved(f"Nothing was moved: {' '.join(str(reason.orig).split())}") from reason
    return counts


def _must_be_empty(connection: Connection, target: Book) -> None:
    """Refuse a database with anything in it."""
    if inspect(connection).get_table_names():
        raise NotMoved(f"{target.place} is not empty; it was left alone. Make a database of its own for the book.")


def _tables(session: Session) -> list[Table]:
    """The tables of the file in an order in which none refers to a later one; one that is unknown is refused."""
    tables = SQLModel.metadata.sorted_tables
    there = {name for name in inspect(session.connection()).get_table_names() if not name.startswith("entry_search")}
    if strange := there - {table.name for table in tables} - {"alembic_version"}:
        raise NotMoved(f"Nothing was moved: the file has tables that this version does not know, {sorted(strange)}.")
    return [table for table in tables if table.name in there]


def _copy(source: Connection, target: Connection, table: Table) -> int:
    """Copy a table, count on after its last number, and hold every row that arrived against the one that left."""
    left, count = hashlib.sha256(), 0
    with source.execute(_all(table)) as rows:
        for some in rows.mappings().partitions(ROWS_AT_ONCE):
            values = [dict(row) for row in some]
            count += len(values)
            for row in values:
                left.update(_written(row))
            if table is table_of(EntryWordsRow):
                index(target, values)
            else:
                target.execute(insert(table), values)
    _count_on(target, table)
    if left.digest() != _digest(target, table):
        raise NotMoved(f"Nothing was moved: a row of {table.name} did not arrive as it was.")
    return count


def _all(table: Table) -> Any:
    """Ask for every row, a few at a time, in an order that both databases have."""
    return select(table).order_by(*table.primary_key).execution_options(yield_per=ROWS_AT_ONCE)


def _digest(connection: Connection, table: Table) -> bytes:
    """Take a digest over every row."""
    taken = hashlib.sha256()
    with connection.execute(_all(table)) as rows:
        for row in rows.mappings():
            taken.update(_written(dict(row)))
    return taken.digest()


def _written(row: Row) -> bytes:
    """Write a row in the one way that digests are taken over; a picture by its own digest."""
    plain = {k: hashlib.sha256(v).hexdigest() if isinstance(v, bytes) else v for k, v in row.items()}
    return canonical(plain).encode()


def _count_on(connection: Connection, table: Table) -> None:
    """Let the numbers of a table go on after the last one that was moved."""
    (key, *_) = table.primary_key
    sequence = connection.execute(
        text("SELECT pg_get_serial_sequence(:table, :key)"), {"table": table.name, "key": key.name}
    ).scalar_one()
    last = connection.execute(select(func.max(key))).scalar_one() if sequence else None
    if last:
        connection.execute(
            text("SELECT setval(CAST(:sequence AS regclass), :last)"), {"sequence": sequence, "last": last}
        )


def _must_have_arrived(source: Session, connection: Connection) -> None:
    """Refuse to keep a book whose chain, rows, seals or pictures do not verify where they arrived."""
    with Session(connection, info={MEMORY: {}}) as there:
        broken, altered = verify_chain(there), verify_evidence(there)
        heads = chain_head(source), chain_head(there)
    if broken or altered or heads[0] != heads[1]:
        what = f"entry {broken} of the chain" if broken else ", ".join(altered) or "the end of the chain"
        raise NotMoved(f"Nothing was moved: {what} is not as it was written. Verify the book where it is.")
