"""The register of instruments in and out of the book, and where each was used."""

from datetime import datetime

from sqlalchemy import select
from sqlmodel import Session

from app.domain.instruments import Calibration, Instrument
from app.domain.limits import Method
from app.store.book import Writing
from app.store.fact_rows import ReadingRow
from app.store.instrument_rows import CalibrationRow, InstrumentRow
from app.store.rows import table_of

INSTRUMENT, CALIBRATION, READING = (table_of(row) for row in (InstrumentRow, CalibrationRow, ReadingRow))


def save_instrument(writing: Writing, values: dict[str, str]) -> int:
    """Add an instrument."""
    number = writing.insert(InstrumentRow, **values, added_at=writing.now)
    writing.enter("instrument added", f"instrument {values['name']}", None, values | {"added_at": writing.now})
    return number


def save_calibration(writing: Writing, instrument: Instrument, calibration: Calibration) -> None:
    """Add a calibration."""
    values = {"on": calibration.on, "due": calibration.due, "certificate": calibration.certificate}
    kept = values | {"error_mm": calibration.error_mm, "instrument_id": instrument.id, "added_at": writing.now}
    writing.insert(CalibrationRow, **kept)
    writing.enter("instrument calibrated", f"instrument {instrument.name}", None, kept)


def list_instruments(session: Session, known_at: datetime | None = None) -> list[Instrument]:
    """List the register by name, each with its calibrations by day; those alone that were known at a moment."""
    connection = session.connection()
    by_number: dict[int, list[Calibration]] = {}
    asked = select(CALIBRATION).order_by(CALIBRATION.c.on, CALIBRATION.c.id)
    register = select(INSTRUMENT).order_by(INSTRUMENT.c.name)
    if known_at is not None:
        asked = asked.where(CALIBRATION.c.added_at <= known_at)
        register = register.where(INSTRUMENT.c.added_at <= known_at)
    for row in connection.execute(asked):
        found = Calibration(row.on, row.due, row.certificate, row.error_mm)
        by_number.setdefault(row.instrument_id, []).append(found)
    return [
        Instrument(
            row.id, row.name, Method(row.method), row.measures, row.resolution, row.permissible_error,
            tuple(by_number.get(row.id, ())),
        )
        for row in connection.execute(register)
    ]  # fmt: skip


def list_overhauls_gauged_with(session: Session, name: str) -> list[int]:
    """List the overhauls with a reading of this instrument."""
    statement = select(READING.c.overhaul_id).where(READING.c.instrument == name).distinct()
    return list(session.connection().execute(statement.order_by(READING.c.overhaul_id)).scalars())
