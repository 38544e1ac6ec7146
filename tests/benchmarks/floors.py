"""What the platform alone costs: a bare handler that keeps one row, and a bare program that only starts."""

import sqlite3
import sys
from pathlib import Path
from threading import Lock

import pint
import uvicorn
from fastapi import FastAPI, Response
from sqlalchemy import MetaData
from sqlmodel import Field, Session, SQLModel, create_engine


class Bare(SQLModel):
    """Rows of no book: where the tests of the book are gathered, its tables must stay alone."""

    metadata = MetaData()


class BareRow(Bare, table=True):
    """A row as a small program would have it."""

    __tablename__ = "bare"
    id: int | None = Field(default=None, primary_key=True)
    words: str = ""


def bare_saver(folder: Path, answer_bytes: int) -> FastAPI:
    """One handler, one raw connection behind a lock: insert a row, commit, answer with as many bytes."""
    app, turn = FastAPI(), Lock()
    connection = sqlite3.connect(folder / "bare.db", check_same_thread=False, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("CREATE TABLE IF NOT EXISTS reading (id INTEGER PRIMARY KEY, words TEXT)")
    fragment = "x" * answer_bytes

    @app.post("/save")
    def save() -> Response:
        with turn:
            connection.execute("BEGIN IMMEDIATE")
            connection.execute("INSERT INTO reading (words) VALUES (?)", ("0.62",))
            connection.execute("COMMIT")
        return Response(fragment, media_type="text/html")

    @app.get("/healthz")
    def healthz() -> dict[str, str]:
        return {"is": "well"}

    return app


def bare_starter(folder: Path) -> FastAPI:
    """FastAPI, SQLModel with a file and a table, and pint with its registry: what the program cannot start without."""
    engine = create_engine(f"sqlite:///{folder / 'bare.db'}")
    Bare.metadata.create_all(engine)
    registry = pint.UnitRegistry()
    app = FastAPI()

    @app.get("/healthz")
    def healthz() -> dict[str, str]:
        with Session(engine) as session:
            session.get(BareRow, 1)
        return {"is": str(registry.Quantity(1, "mm").to("inch"))}

    return app


if __name__ == "__main__":
    which, port, folder, *rest = sys.argv[1:]
    app = bare_saver(Path(folder), int(rest[0])) if which == "saver" else bare_starter(Path(folder))
    uvicorn.run(app, port=int(port), log_level="warning", server_header=False)
