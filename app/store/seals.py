"""Seals tables: from then on rows can be added but neither changed nor deleted, by triggers of the database itself."""

from sqlalchemy import Connection

from app.store import postgres, sqlite

STATEMENTS = {"sqlite": sqlite.seal_statements, "postgresql": postgres.seal_statements}


def seal(connection: Connection, *tables: str) -> None:
    """Seal tables of a book, whichever database it stands in."""
    for table in tables:
        for statement in STATEMENTS[connection.dialect.name](table):
            connection.exec_driver_sql(statement)
