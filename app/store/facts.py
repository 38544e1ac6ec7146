"""What is entered in an overhaul beside its readings: confirmations, decisions, signatures and fittings."""

from typing import Any

from sqlmodel import Session, SQLModel, col, select

from app.domain.errors import NotThere
from app.domain.overhaul import Concession, Confirmation, Decision, Fitting, Meaning, Phase, Signature
from app.domain.verdicts import Verdict
from app.store.book import Writing
from app.store.chain import overhaul_subject
from app.store.fact_rows import ConfirmationRow, DecisionRow, FittingRow, SignatureRow
from app.store.lengths import length_from, length_values
from app.store.rows import rows_of_overhaul


def save_confirmation(writing: Writing, overhaul_id: int, confirmation: Confirmation) -> None:
    """Keep that a step was confirmed."""
    values = {"phase": confirmation.phase.value, "step": confirmation.step, "value": confirmation.value}
    _save(writing, ConfirmationRow, overhaul_id, "step confirmed", {**values, **_by(confirmation)})


def save_decision(writing: Writing, overhaul_id: int, decision: Decision) -> None:
    """Keep a decision, with its concession where it is one."""
    values = {"ref": decision.ref, "verdict": decision.verdict.value, "renews": decision.renews}
    values |= {"reason": decision.reason}
    concession = _concession_values(decision.concession)
    _save(writing, DecisionRow, overhaul_id, "decision made", {**values, **concession, **_by(decision)})


def save_signature(writing: Writing, overhaul_id: int, signature: Signature, content: str) -> None:
    """Keep a signature with the content it was given for; the chain holds the content's digest."""
    values = {"meaning": signature.meaning.value, "digest": signature.digest, **_by(signature)}
    values = writing.sealed(values | {"overhaul_id": overhaul_id})
    writing.insert(SignatureRow, content=content, **values)
    writing.enter("signed", overhaul_subject(overhaul_id), None, values)


def save_fitting(writing: Writing, overhaul_id: int, fitting: Fitting) -> None:
    """Keep that a part went in, or that it was made to another size."""
    values = {"ref": fitting.ref, "number": fitting.number, "batch": fitting.batch, **_by(fitting)}
    _save(writing, FittingRow, overhaul_id, "part fitted", {**values, **length_values("made_to", fitting.made_to)})


def list_confirmations(session: Session, overhaul_id: int) -> tuple[Confirmation, ...]:
    """List an overhaul's confirmations in the order they were made."""
    rows = rows_of_overhaul(session, ConfirmationRow, overhaul_id)
    return tuple(Confirmation(Phase(row.phase), row.step, row.value, row.person, row.at) for row in rows)


def list_decisions(session: Session, overhaul_id: int) -> tuple[Decision, ...]:
    """List an overhaul's decisions in the order they were made."""
    return tuple(_decision(row) for row in rows_of_overhaul(session, DecisionRow, overhaul_id))


def list_signatures(session: Session, overhaul_id: int) -> tuple[Signature, ...]:
    """List an overhaul's signatures in the order they were given, without what was signed."""
    return tuple(signature_from(row) for row in rows_of_overhaul(session, SignatureRow, overhaul_id, "content"))


def list_fittings(session: Session, overhaul_id: int) -> tuple[Fitting, ...]:
    """List an overhaul's fittings in the order they were entered."""
    return tuple(fitting_from(row) for row in rows_of_overhaul(session, FittingRow, overhaul_id))


def get_signature_content(session: Session, overhaul_id: int, meaning: Meaning) -> str:
    """Give the very content that the last signature with a meaning was given for."""
    is_it = SignatureRow.overhaul_id == overhaul_id, SignatureRow.meaning == meaning.value
    newest = col(SignatureRow.id).desc()
    content = session.exec(select(SignatureRow.content).where(*is_it).order_by(newest).limit(1)).one_or_none()
    if content is None:
        raise NotThere(f"Nobody has signed “{meaning}” in this overhaul.")
    return content


def signature_from(row: Any) -> Signature:
    """Turn a row into a signature."""
    return Signature(Meaning(row.meaning), row.person, row.at, row.digest)


def fitting_from(row: Any) -> Fitting:
    """Turn a row into a fitting."""
    made_to = length_from(row.made_to_typed, row.made_to, row.made_to_unit)
    return Fitting(row.ref, row.number, row.batch, row.person, row.at, made_to)


def _save(writing: Writing, row: type[SQLModel], overhaul_id: int, what: str, values: dict[str, object]) -> None:
    """Add a fact and enter it in the chain."""
    values = {"overhaul_id": overhaul_id, **values}
    writing.insert(row, **values)
    writing.enter(what, overhaul_subject(overhaul_id), None, values, str(values.get("reason", "")))


def _by(fact: Confirmation | Decision | Signature | Fitting) -> dict[str, object]:
    """Give by whom a fact was entered, and when."""
    return {"person": fact.person, "at": fact.at}


def _concession_values(concession: Concession | None) -> dict[str, object]:
    """Give the columns of a concession, empty where there is none."""
    names = ("second_person", "until_hours", "until_date")
    return {f"concession_{name}": getattr(concession, name, None) for name in names}


def _decision(row: DecisionRow) -> Decision:
    """Turn a row into a decision; a concession is told by its second person."""
    ends = row.concession_until_hours, row.concession_until_date
    second = row.concession_second_person
    concession = None if second is None else Concession(second, *ends)
    return Decision(row.ref, Verdict(row.verdict), row.reason, row.person, row.at, row.renews, concession)
