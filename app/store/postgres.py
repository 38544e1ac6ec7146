"""What is PostgreSQL's own: its address, how its connections are set, how writers take turns, how a table is sealed."""

from sqlalchemy import URL, Connection, Engine, event, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import ConnectionPoolEntry

from app.domain.errors import WearbookError

NAMES = ("postgresql", "postgres", "postgresql+psycopg")
ALWAYS = "SET TIME ZONE 'UTC'; SET client_min_messages = warning"
# A change that was acknowledged is flushed, whatever the server's own setting; one that waits is refused in words, and
# a process that froze in the middle of a change loses its turn.
WRITERS = (
    "SET synchronous_commit = on; SET lock_timeout = '15s'; SET idle_in_transaction_session_timeout = '60s'; "
    "SET default_transaction_isolation = 'read committed'"
)
READERS = "SET default_transaction_isolation = 'repeatable read'; SET default_transaction_read_only = on"
# The lock is of this database and schema, and so of one book; it ends with the transaction, after it was kept.
TAKE_TURN = "SELECT pg_advisory_xact_lock(hashtext('wearbook'), hashtext(current_schema()))"
NOTE_ALONE = "SELECT pg_advisory_xact_lock(hashtext('wearbook note'), hashtext(current_schema()))"
COPY_ALONE = "SELECT pg_advisory_xact_lock(hashtext('wearbook copy'), hashtext(current_schema()))"
# Tables whose trigger is switched off.
UNSEALED = (
    "SELECT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid WHERE tgenabled = 'D' "
    "AND tgname = relname || '_refuses_change' AND relnamespace = current_schema()::regnamespace ORDER BY relname"
)


class StrangeAddress(WearbookError):
    """The address of the database cannot be read."""


def read_address(text: str) -> URL:
    """Read the address of a database; StrangeAddress where it is none of PostgreSQL."""
    expected = "postgresql://NAME@HOST/DATABASE is expected, such as postgresql://wearbook@db.example/wearbook"
    try:
        url = make_url(text)
    except ArgumentError as reason:
        raise StrangeAddress(f"The address of the database cannot be read; {expected}.") from reason
    if url.drivername not in NAMES or not url.database:
        raise StrangeAddress(f"The address {url} is not one of a PostgreSQL database; {expected}.")
    return url.set(drivername="postgresql+psycopg")


def prepare_writer(engine: Engine) -> None:
    """Set the writer's connection; its transactions wait for those of every other process before they see anything."""
    _prepare(engine, WRITERS)

    @event.listens_for(engine, "begin")
    def take_turn(connection: Connection) -> None:
        connection.exec_driver_sql(TAKE_TURN)


def prepare_notes(engine: Engine) -> None:
    """Set the connections for what is no evidence, whose transactions take turns among themselves alone."""
    _prepare(engine, WRITERS)

    @event.listens_for(engine, "begin")
    def take_turn(connection: Connection) -> None:
        connection.exec_driver_sql(NOTE_ALONE)


def prepare_readers(engine: Engine) -> None:
    """Set the readers' connections; each transaction sees one moment of the book."""
    _prepare(engine, READERS)


def seal_statements(table: str) -> tuple[str, str]:
    """Give the statements after which a table's rows can be added but neither changed nor deleted."""
    return (
        "CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        "RAISE EXCEPTION USING ERRCODE = 'integrity_constraint_violation', MESSAGE = 'rows of ' || TG_TABLE_NAME || "
        "' are never ' || CASE TG_OP WHEN 'UPDATE' THEN 'changed' ELSE 'deleted' END; END $$",
        f"CREATE TRIGGER {table}_refuses_change BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
        "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
    )


def _prepare(engine: Engine, settings: str) -> None:
    """Set every new connection."""

    @event.listens_for(engine, "connect")
    def set_connection(connection: DBAPIConnection, _record: ConnectionPoolEntry) -> None:
        cursor = connection.cursor()
        cursor.execute(f"{ALWAYS}; {settings}")
        cursor.close()
        connection.commit()
