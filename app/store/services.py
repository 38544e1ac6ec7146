"""Services: tasks done on machines, kept with every answer."""

import json
from typing import Any

from sqlalchemy import Row
from sqlmodel import Session, col, select

from app.domain.canonical import canonical
from app.domain.overhaul import Machine
from app.domain.service import Service, ServiceAnswer
from app.store.book import Writing
from app.store.service_rows import ServiceRow


def save_service(writing: Writing, machine: Machine, service: Service, request_id: str) -> bool:
    """Keep a service; False where this request has recorded it already."""
    session = writing.session
    if session.exec(select(ServiceRow.id).where(ServiceRow.request_id == request_id)).first() is not None:
        return False
    values: dict[str, object] = {
        "machine_id": machine.id,
        "task": service.task,
        "sheet": service.sheet,
        "person": service.person,
        "request_id": request_id,
        "hours": service.hours,
        "at": service.at,
        "entered_at": writing.now,
        "is_in_order": service.is_in_order,
        "answers": canonical(service.answers),
        "note": service.note,
    }
    writing.insert(ServiceRow, **values)
    writing.enter("service recorded", f"machine {machine.tag}", None, values)
    return True


def list_services(session: Session, machine_id: int) -> list[Service]:
    """List a machine's services in the order they were done."""
    order = col(ServiceRow.at), col(ServiceRow.id)
    rows = session.exec(select(ServiceRow).where(ServiceRow.machine_id == machine_id).order_by(*order))
    return [service_from(row) for row in rows]


def service_from(row: ServiceRow | Row[Any]) -> Service:
    """Turn a row into a service."""
    answers = tuple(ServiceAnswer(**answer) for answer in json.loads(row.answers))
    done = row.hours, row.at, row.person
    return Service(row.task, row.sheet, *done, answers, row.note, row.is_in_order, row.id or 0)
