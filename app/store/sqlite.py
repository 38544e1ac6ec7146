"""What is SQLite's own: how its connections are set, how a transaction begins, how a table is sealed."""

import sqlite3
from contextlib import closing, suppress

from sqlalchemy import Connection, Engine, event
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import ConnectionPoolEntry

# FULL flushes at every commit: a reading that was acknowledged survives the loss of power.
PRAGMAS = (
    "PRAGMA busy_timeout = 10000",
    "PRAGMA foreign_keys = ON",
    "PRAGMA synchronous = FULL",
    "PRAGMA recursive_triggers = ON",  # Without it, INSERT OR REPLACE would delete a row past its trigger.
)
# What was written is moved into the file itself beside the writer, not by it; by it only once so many pages wait.
WRITERS_PRAGMAS = (*PRAGMAS, "PRAGMA journal_mode = WAL", "PRAGMA wal_autocheckpoint = 25000")
READERS_PRAGMAS = (*PRAGMAS, "PRAGMA query_only = ON")


def prepare_writer(engine: Engine) -> None:
    """Set the writer's connection; its transactions take the write lock at once and so never fail half way."""
    _prepare(engine, WRITERS_PRAGMAS, "BEGIN IMMEDIATE")


def prepare_readers(engine: Engine) -> None:
    """Set the readers' connections; each transaction sees one moment of the book."""
    _prepare(engine, READERS_PRAGMAS, "BEGIN")


def checkpoint(engine: Engine) -> None:
    """Move what was committed from the log into the file, while others read and write; what is in use waits.

    A disk that is full or gone leaves the log as it is; whoever keeps the next entry is told.
    """
    with suppress(sqlite3.Error, DBAPIError), closing(engine.raw_connection()) as connection:
        cursor = connection.cursor()
        cursor.execute("SELECT count(*) FROM sqlite_master")  # a connection that has read nothing knows of no log
        cursor.execute("PRAGMA wal_checkpoint(PASSIVE)")


def seal_statements(table: str) -> tuple[str, str]:
    """Give the statements after which a table's rows can be added but neither changed nor deleted."""
    update, delete = (
        f"CREATE TRIGGER {table}_refuses_{verb} BEFORE {verb.upper()} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, 'rows of {table} are never {past}'); END"
        for verb, past in (("update", "changed"), ("delete", "deleted"))
    )
    return update, delete


def _prepare(engine: Engine, pragmas: tuple[str, ...], begin: str) -> None:
    """Set every new connection, and begin transactions ourselves: the driver would begin them too late."""

    @event.listens_for(engine, "connect")
    def set_connection(connection: DBAPIConnection, _record: ConnectionPoolEntry) -> None:
        connection.isolation_level = None
        for pragma in pragmas:
            connection.execute(pragma)

    @event.listens_for(engine, "begin")
    def begin_transaction(connection: Connection) -> None:
        connection.exec_driver_sql(begin)
