"""Witnesses in and out."""

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field, Session, SQLModel

from app.domain.amendments import Witness
from app.domain.overhaul import Meaning
from app.store.book import Writing
from app.store.chain import overhaul_subject
from app.store.rows import rows_of_overhaul

TOLD = ("of_digest", "name", "body", "person", "at", "digest")


class WitnessRow(SQLModel, table=True):
    """A surveyor who witnessed a signature, with the very content that this covers."""

    __tablename__ = "witness"
    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    meaning: str
    of_digest: str
    name: str
    body: str
    person: str
    at: datetime
    digest: str
    content: str = Field(sa_type=Text)
    site_key: str | None = None
    site_signature: str | None = None


def save_witness(writing: Writing, overhaul_id: int, witness: Witness, content: str) -> None:
    """Keep a witness; the chain holds the content's digest."""
    values = {"overhaul_id": overhaul_id, "meaning": witness.meaning.value}
    sealed = writing.sealed(values | {name: getattr(witness, name) for name in TOLD})
    writing.insert(WitnessRow, content=content, **sealed)
    writing.enter("signature witnessed", overhaul_subject(overhaul_id), None, sealed)


def list_witnesses(session: Session, overhaul_id: int) -> tuple[Witness, ...]:
    """List the witnesses of an overhaul's signatures."""
    rows = rows_of_overhaul(session, WitnessRow, overhaul_id, "content")
    return tuple(
        Witness(Meaning(row.meaning), row.of_digest, row.name, row.body, row.person, row.at, row.digest) for row in rows
    )
