"""The index of words over the chain: what was seen, why, what was noted and which step, found by any word of it."""

import json
import re
from collections.abc import Iterator, Mapping
from datetime import datetime
from types import NoneType
from typing import Any, NamedTuple
from unicodedata import combining, normalize

from sqlalchemy import Connection, Integer, Select, String, Text, cast, column, func, select, table, text
from sqlalchemy.dialects.postgresql import TSQUERY
from sqlmodel import Field, Session, SQLModel

from app.domain.findings import finding_words
from app.domain.steps import step_words
from app.store.quick import insert_row
from app.store.rows import EntryRow, insert_into, table_of

ENTRY = table_of(EntryRow)
TOLD = (  # of what was entered
    *("reason", "note", "words", "name", "number", "batch", "certificate", "meaning", "paper"),
    *("what", "old", "new", "body", "backup"),  # of amendments, witnesses and restores
)
LOOKED_AT, TEXTS = (*TOLD, "findings", "answers"), (str, NoneType)
BESIDE = " · "
WORD = re.compile(r"[^\W_]+")
MOST_WORDS = 12  # of a question; the rest of a longer one is not looked for
MOST_LETTERS = 40  # of a word
AT_ONCE = 1000


class EntryWordsRow(SQLModel, table=True):
    """The words of an entry as they are looked for; worked out from the entry, so it is no evidence by itself."""

    __tablename__ = "entry_words"
    seq: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    words: str = Field(sa_type=Text)


WORDS = table_of(EntryWordsRow)
# SQLite's own index over the words, which a trigger fills.
INDEX = table("entry_search", column("rowid"), column("entry_search", String))
# PostgreSQL's, filled with words that are cut here, so that both databases find the same.
LEXEMES = table("entry_search", column("seq", Integer), column("lexemes", String))
INDEX_STATEMENTS = {
    "sqlite": (
        "CREATE VIRTUAL TABLE entry_search USING fts5(words, content='entry_words', content_rowid='seq')",
        "CREATE TRIGGER entry_words_are_searched AFTER INSERT ON entry_words "
        "BEGIN INSERT INTO entry_search (rowid, words) VALUES (new.seq, new.words); END",
    ),
    "postgresql": (
        "CREATE TABLE entry_search (seq integer PRIMARY KEY, lexemes tsvector NOT NULL)",
        "CREATE INDEX entry_search_lexemes ON entry_search USING gin (lexemes)",
    ),
}
DROPPED = {
    "sqlite": ("DROP TRIGGER entry_words_are_searched", "DROP TABLE entry_search"),
    "postgresql": ("DROP TABLE entry_search",),
}
KEEP_LEXEMES = text("INSERT INTO entry_search VALUES (:seq, array_to_tsvector(CAST(:lexemes AS text[])))")
MOST_LEXEMES = 5000  # of an entry, as an index takes only so much


class Found(NamedTuple):
    """An entry whose words answer a question."""

    seq: int
    at: datetime
    person: str
    what: str
    subject: str
    new: str
    words: str


def make_index(connection: Connection) -> None:
    """Make the index and fill it with the entries that are there."""
    for statement in INDEX_STATEMENTS[connection.dialect.name]:
        connection.execute(text(statement))
    entries = connection.execute(select(ENTRY.c.seq, ENTRY.c.new, ENTRY.c.why).order_by(ENTRY.c.seq)).mappings()
    while some := entries.fetchmany(AT_ONCE):
        index(connection, [{"seq": entry["seq"], "words": words} for entry in some if (words := words_of(entry))])


def make_index_again(connection: Connection) -> None:
    """Make the index anew from the chain, for entries that were kept before all their words were told."""
    for statement in (*DROPPED[connection.dialect.name], "DELETE FROM entry_words"):
        connection.execute(text(statement))
    make_index(connection)


def index(connection: Connection, rows: list[dict[str, Any]]) -> None:
    """Keep words by the number of their entry, so that they are found."""
    if not rows:
        return
    connection.execute(insert_into(EntryWordsRow), rows)
    _keep_lexemes(connection, rows)


def _keep_lexemes(connection: Connection, rows: list[dict[str, Any]]) -> None:
    """Keep the words as PostgreSQL looks for them; in a file a trigger does so."""
    if connection.dialect.name == "postgresql":
        connection.execute(KEEP_LEXEMES, [{"seq": row["seq"], "lexemes": lexemes(row["words"])} for row in rows])


def keep_words(session: Session, entry: Mapping[Any, Any], new: object = None) -> None:
    """Keep the words of an entry in the index, in the entry's own transaction; nothing where it has none.

    Where what was entered is at hand, and what is told in it is nothing but texts, it is not read from JSON again.
    """
    is_same = isinstance(new, dict) and "step" not in new and all(type(new.get(key)) in TEXTS for key in LOOKED_AT)
    words = _words_in(entry["why"], new) if is_same else words_of(entry)
    if words:
        row = {"seq": entry["seq"], "words": words}
        insert_row(session.connection(), EntryWordsRow, row)
        _keep_lexemes(session.connection(), [row])


def words_of(entry: Mapping[Any, Any]) -> str:
    """Put together what an entry tells in words."""
    return _words_in(entry["why"], json.loads(entry["new"]))


def _words_in(why: str, new: object) -> str:
    """Put together why something was entered, and what was told in it."""
    told = [word.strip() for word in (why, *_told(new))]
    return BESIDE.join(dict.fromkeys(filter(None, told)))


def words_asked(question: str) -> tuple[str, ...]:
    """Give the words of a question; signs are no words, and what goes on for too long is cut."""
    words = (found[0][:MOST_LETTERS] for found in WORD.finditer(question[: MOST_WORDS * MOST_LETTERS]))
    return tuple(dict.fromkeys(words))[:MOST_WORDS]


def search(session: Session, words: tuple[str, ...], before: int | None, most: int) -> list[Found]:
    """List the newest entries that hold a word beginning with each of these, before an entry where one is named."""
    columns = ENTRY.c.seq, ENTRY.c.at, ENTRY.c.person, ENTRY.c.what, ENTRY.c.subject, ENTRY.c.new, WORDS.c.words
    hit = _hits(session, words)
    statement = select(*columns).join_from(hit, WORDS, WORDS.c.seq == hit.c.seq).join(ENTRY, ENTRY.c.seq == hit.c.seq)
    if before is not None:
        statement = statement.where(hit.c.seq < before)
    rows = session.connection().execute(statement.order_by(hit.c.seq.desc()).limit(most))
    return [Found(seq, datetime.fromisoformat(at), *rest) for seq, at, *rest in rows]


def count_found(session: Session, words: tuple[str, ...]) -> int:
    """Count all entries that hold a word beginning with each of these."""
    return int(session.connection().execute(select(func.count()).select_from(_hits(session, words))).scalar_one())


def _hits(session: Session, words: tuple[str, ...]) -> Any:
    """The numbers of the entries found; every word is quoted, so that none is taken for a sign of the index."""
    if session.connection().dialect.name == "sqlite":
        asked = " ".join(f'"{word}"*' for word in words)
        of_index: Select[Any] = select(INDEX.c.rowid.label("seq")).where(INDEX.c.entry_search.op("MATCH")(asked))
        return of_index.subquery()
    begins = " & ".join(f"'{word}':*" for asked in words for word in lexemes(asked))
    return select(LEXEMES.c.seq).where(LEXEMES.c.lexemes.op("@@")(cast(begins, TSQUERY))).subquery()


def lexemes(words: str) -> list[str]:
    """Cut words as SQLite's index does: at every sign, in small letters, without accents."""
    plain = "".join(sign for sign in normalize("NFD", words.casefold()) if not combining(sign))
    return list(dict.fromkeys(found[0][:MOST_LETTERS] for found in WORD.finditer(plain)))[:MOST_LEXEMES]


def _told(new: object) -> Iterator[str]:
    """Every text of what was entered that a person wrote or chose."""
    if not isinstance(new, dict):
        return
    yield from (str(new[key]) for key in TOLD if new.get(key))
    yield from map(finding_words, _listed(new.get("findings")))
    if "step" in new:
        yield from (step_words(new["step"]), new["value"])
    yield from _texts(_listed(new.get("answers")))


def _listed(told: str | None) -> Any:
    """Read a list that is kept as a text; mostly there is none, or nothing in it."""
    return json.loads(told) if told and told != "[]" else []


def _texts(content: object) -> Iterator[str]:
    """Every text within what was answered."""
    if isinstance(content, str):
        yield content
    elif isinstance(content, list | dict):
        for each in content.values() if isinstance(content, dict) else content:
            yield from _texts(each)
