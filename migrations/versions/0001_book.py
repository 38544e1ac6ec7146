"""The book: people, sheets, machines, overhauls, everything entered in them, and the chain of entries."""

import sqlalchemy as sa
from alembic import op

from app.store.seals import seal

revision = "0001"
down_revision = None

SEALED = (
    "entry",
    "sheet_revision",
    "meter_reading",
    "overhaul",
    "reading",
    "confirmation",
    "decision",
    "signature",
    "fitting",
)


def upgrade() -> None:
    """Make every table, and seal those that are only ever added to."""
    create_people()
    create_sheets_and_machines()
    create_overhaul()
    create_reading()
    create_facts()
    create_entry()
    seal(op.get_bind(), *SEALED)


def number() -> sa.Column[int]:
    """The number of a row, in the order of storing."""
    return sa.Column("id", sa.Integer, primary_key=True)


def texts(*names: str) -> list[sa.Column[str]]:
    """Short texts that are always there, empty where nothing was said."""
    return [sa.Column(name, sa.String, nullable=False) for name in names]


def moments(*names: str) -> list[sa.Column[sa.DateTime]]:
    """Moments in UTC."""
    return [sa.Column(name, sa.DateTime(timezone=True), nullable=False) for name in names]


def length(name: str) -> list[sa.Column[str]]:
    """A length: as typed, its number, its unit."""
    return [
        sa.Column(f"{name}_typed", sa.String),
        sa.Column(name, sa.Text),
        sa.Column(f"{name}_unit", sa.String),
    ]


def create_people() -> None:
    """Make people, their sign-ins and preferences."""
    op.create_table(
        "person",
        number(),
        *texts("name", "role", "password_digest"),
        sa.Column("is_active", sa.Boolean, nullable=False),
        *moments("created"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "sign_in",
        sa.Column("token_digest", sa.String, primary_key=True),
        sa.Column("person_id", sa.Integer, sa.ForeignKey("person.id"), nullable=False),
        *moments("created_at", "last_seen"),
        sa.Column("ended_at", sa.DateTime(timezone=True)),
    )
    op.create_index("ix_sign_in_person_id", "sign_in", ["person_id"])
    op.create_table(
        "preference",
        sa.Column("person_id", sa.Integer, sa.ForeignKey("person.id"), primary_key=True),
        sa.Column("key", sa.String, primary_key=True),
        *texts("value"),
    )


def create_sheets_and_machines() -> None:
    """Make limit sheets, machines and their hours."""
    op.create_table(
        "sheet_revision",
        number(),
        *texts("name", "revision", "machine_type"),
        sa.Column("text", sa.Text, nullable=False),
        *texts("digest", "imported_by", "warnings_accepted_by"),
        *moments("imported_at"),
        sa.UniqueConstraint("name", "revision"),
    )
    op.create_table(
        "machine",
        number(),
        *texts("tag", "serial", "name", "site", "sheet_name"),
        *moments("added_at"),
        sa.UniqueConstraint("tag"),
    )
    op.create_table(
        "meter_reading",
        number(),
        sa.Column("machine_id", sa.Integer, sa.ForeignKey("machine.id"), nullable=False),
        sa.Column("hours", sa.Text, nullable=False),
        *moments("read_at"),
        *texts("person"),
    )
    op.create_index("meter_reading_of_machine", "meter_reading", ["machine_id", "read_at"])


def create_overhaul() -> None:
    """Make overhauls."""
    op.create_table(
        "overhaul",
        number(),
        sa.Column("machine_id", sa.Integer, sa.ForeignKey("machine.id"), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("sheet_revision_id", sa.Integer, sa.ForeignKey("sheet_revision.id"), nullable=False),
        *texts("stages", "opened_by", "request_id"),
        sa.Column("has_rings", sa.Boolean, nullable=False),
        sa.Column("hours", sa.Text, nullable=False),
        *moments("opened_at"),
        sa.UniqueConstraint("machine_id", "number"),
        sa.UniqueConstraint("request_id"),
    )
    op.create_index("ix_overhaul_sheet_revision_id", "overhaul", ["sheet_revision_id"])


def create_reading() -> None:
    """Make readings, in the order stored, found by the tablet's identifier or by the part."""
    op.create_table(
        "reading",
        sa.Column("seq", sa.Integer, primary_key=True),
        *texts("id"),
        of_overhaul(),
        *texts("part", "characteristic", "level", "axis", "occasion", "kind", "measured_by", "entered_by"),
        *moments("measured_at", "stored_at"),
        *(column for name in ("value", "goes", "does_not_go", "set_size") for column in length(name)),
        sa.Column("findings", sa.Text, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        *texts("instrument", "supersedes"),
        sa.Column("temperature_c", sa.Text),
        sa.UniqueConstraint("id"),
    )
    op.create_index("reading_of_part", "reading", ["overhaul_id", "part", "characteristic"])


def of_overhaul() -> sa.Column[int]:
    """The overhaul that a fact belongs to."""
    return sa.Column("overhaul_id", sa.Integer, sa.ForeignKey("overhaul.id"), nullable=False)


def create_facts() -> None:
    """Make what is entered in an overhaul beside its readings."""
    facts: dict[str, list[sa.Column]] = {
        "confirmation": texts("phase", "step", "value"),
        "decision": [
            *texts("ref", "verdict", "renews"),
            sa.Column("reason", sa.Text, nullable=False),
            sa.Column("concession_second_person", sa.String),
            sa.Column("concession_until_hours", sa.Text),
            sa.Column("concession_until_date", sa.Date),
        ],
        "signature": [*texts("meaning", "digest"), sa.Column("content", sa.Text, nullable=False)],
        "fitting": [*texts("ref", "number", "batch"), *length("made_to")],
    }
    for table, columns in facts.items():
        op.create_table(table, number(), of_overhaul(), *columns, *texts("person"), *moments("at"))
        op.create_index(f"ix_{table}_overhaul_id", table, ["overhaul_id"])


def create_entry() -> None:
    """Make the chain."""
    op.create_table(
        "entry",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        *texts("at", "person", "what", "subject"),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("old", "new", "why")),
        *texts("previous", "digest"),
    )
    op.create_index("ix_entry_subject", "entry", ["subject"])
