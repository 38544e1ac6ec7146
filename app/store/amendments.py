"""Amendments in and out."""

import json
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from sqlmodel import Session, col, select

from app.domain.amendments import Amendment, Answer, Outcome
from app.domain.canonical import canonical
from app.domain.numbers import Length
from app.domain.readings import Kind, Reading
from app.domain.units import LengthUnit
from app.store.amendment_rows import AmendmentAnswerRow, AmendmentRow
from app.store.book import Writing
from app.store.chain import overhaul_subject
from app.store.lengths import length_values
from app.store.readings import LENGTHS
from app.store.rows import OverhaulRow, rows_of_overhaul

TOLD = ("part", "reading", "what", "old", "new", "reason", "person", "at")


def save_amendment(writing: Writing, overhaul_id: int, amendment: Amendment) -> int:
    """Keep an amendment as it is proposed."""
    values = {"overhaul_id": overhaul_id, **{name: getattr(amendment, name) for name in TOLD}}
    values |= {"amended": _written(amendment.amended)}
    number = writing.insert(AmendmentRow, **values)
    writing.enter("amendment proposed", overhaul_subject(overhaul_id), amendment.old, values, amendment.reason)
    return number


def save_answer(writing: Writing, overhaul_id: int, amendment: Amendment, answer: Answer, content: str) -> None:
    """Keep the answer to an amendment with the content it was given for; the chain holds the content's digest."""
    values: dict[str, object] = {"overhaul_id": overhaul_id, "amendment_id": amendment.id}
    values |= {"outcome": answer.outcome.value, "words": answer.words, "person": answer.person}
    told = {"what": amendment.what, "old": amendment.old, "new": amendment.new, "part": amendment.part}
    sealed = writing.sealed({**values, "at": answer.at, "digest": answer.digest, **told})
    kept = {name: value for name, value in sealed.items() if name not in told}
    writing.insert(AmendmentAnswerRow, content=content, **kept)
    writing.enter(f"amendment {answer.outcome}", overhaul_subject(overhaul_id), None, sealed, answer.words)


def list_amendments(session: Session, overhaul_id: int, readings: Iterable[Reading]) -> tuple[Amendment, ...]:
    """List an overhaul's amendments in the order they were proposed, each with its answer where it has one."""
    rows = rows_of_overhaul(session, AmendmentRow, overhaul_id)
    if not rows:
        return ()
    of_rows = select(AmendmentAnswerRow).where(AmendmentAnswerRow.overhaul_id == overhaul_id)
    answers = {row.amendment_id: row for row in session.exec(of_rows)}
    by_id = {reading.id: reading for reading in readings}
    return tuple(_amendment(row, answers.get(row.id or 0), by_id.get(row.reading)) for row in rows)


def marks_of_amendments(session: Session, machine_id: int) -> dict[int, tuple[str, ...]]:
    """Give by overhaul what its amendments are known by, so that whoever keeps one in mind sees that it has changed."""
    asked = (
        select(AmendmentRow.overhaul_id, AmendmentRow.id, AmendmentAnswerRow.digest)
        .join(OverhaulRow, col(OverhaulRow.id) == col(AmendmentRow.overhaul_id))
        .join(AmendmentAnswerRow, col(AmendmentAnswerRow.amendment_id) == col(AmendmentRow.id), isouter=True)
        .where(OverhaulRow.machine_id == machine_id)
        .order_by(col(AmendmentRow.id))
    )
    marks: dict[int, tuple[str, ...]] = {}
    for overhaul_id, number, digest in session.exec(asked):
        marks[overhaul_id] = (*marks.get(overhaul_id, ()), f"{number} {digest or ''}")
    return marks


def _amendment(row: AmendmentRow, answer: AmendmentAnswerRow | None, reading: Reading | None) -> Amendment:
    """Turn a row into an amendment."""
    given = None
    if answer is not None:
        given = Answer(Outcome(answer.outcome), answer.person, answer.at, answer.words, answer.digest)
    amended = _read(row.amended, reading) if row.amended and reading else None
    texts = row.part, row.reading, row.what, row.old, row.new, row.reason
    return Amendment(row.id or 0, *texts, row.person, row.at, amended, given)


def _written(amended: Reading | None) -> str:
    """Write the fields of a reading that an amendment may change."""
    if amended is None:
        return ""
    lengths: dict[str, object] = {}
    for name in LENGTHS:
        lengths |= length_values(name, getattr(amended, name))
    seen = {"findings": amended.findings} if amended.findings else {}
    told = {"kind": amended.kind, "reason": amended.reason, "instrument": amended.instrument}
    return canonical({**lengths, **seen, **told, "temperature_c": amended.temperature_c})


def _read(text: str, reading: Reading) -> Reading:
    """Read a reading as an amendment has it; the first ones left its kind as it was, and did not name it."""
    kept: dict[str, Any] = json.loads(text)
    lengths: dict[str, Any] = {name: _length(kept, name) for name in LENGTHS}
    warm = kept["temperature_c"]
    temperature = None if warm is None else Decimal(warm)
    said = {"kind": Kind(kept.get("kind", reading.kind)), "reason": kept.get("reason", reading.reason)}
    beside = {"instrument": kept["instrument"], "temperature_c": temperature}
    return replace(reading, findings=tuple(kept.get("findings", ())), **said, **beside, **lengths)


def _length(kept: dict[str, Any], name: str) -> Length | None:
    """Read one length."""
    typed = kept[f"{name}_typed"]
    return None if typed is None else Length(typed, Decimal(kept[name]), LengthUnit(kept[f"{name}_unit"]))
