"""People in the book, with the digests of their passwords."""

from sqlalchemy import update
from sqlmodel import Session, select

from app.domain.canonical import digest
from app.domain.errors import InputRefused, NotThere
from app.domain.people import Person, Role
from app.store.book import Writing
from app.store.rows import PersonRow, table_of


def save_person(writing: Writing, name: str, role: Role, password_digest: str) -> Person:
    """Add a person whose name is not in the book yet."""
    if find_person_by_name(writing.session, name) is not None:
        raise InputRefused({"name": f"{name} is in the book already."})
    values = {"name": name, "role": role.value, "created": writing.now}
    number = writing.insert(PersonRow, **values, is_active=True, password_digest=password_digest)
    writing.enter("person added", f"person {name}", None, values | {"check": digest(password_digest)})
    return Person(number, name, role)


def change_person(
    writing: Writing, person_id: int, *, is_active: bool | None = None, password_digest: str | None = None
) -> Person:
    """Change what is given; the chain says that a password changed, and its digest by a digest of that alone."""
    person = get_person(writing.session, person_id)
    active = person.is_active if is_active is None else is_active
    values: dict[str, object] = {"is_active": active}
    if password_digest is not None:
        values["password_digest"] = password_digest
    table = table_of(PersonRow)
    writing.session.connection().execute(update(table).where(table.c.id == person_id).values(values))
    new: dict[str, object] = {"is_active": active, "has_new_password": password_digest is not None}
    if password_digest is not None:
        new["check"] = digest(password_digest)
    writing.enter("person changed", f"person {person.name}", {"is_active": person.is_active}, new)
    return Person(person.id, person.name, person.role, active)


def find_person(session: Session, person_id: int) -> Person | None:
    """Find a person by number."""
    return _found(session.exec(select(PersonRow).where(PersonRow.id == person_id)).one_or_none())


def find_person_by_name(session: Session, name: str) -> Person | None:
    """Find a person by the name they sign in with."""
    return _found(session.exec(select(PersonRow).where(PersonRow.name == name)).one_or_none())


def get_person(session: Session, person_id: int) -> Person:
    """Give a person, or refuse."""
    person = find_person(session, person_id)
    if person is None:
        raise NotThere(f"There is no person number {person_id}.")
    return person


def list_people(session: Session) -> list[Person]:
    """List everybody by name, those no longer active too."""
    return [person_from(row) for row in session.exec(select(PersonRow).order_by(PersonRow.name))]


def get_password_digest(session: Session, person_id: int) -> str:
    """Give the digest that a typed password is checked against."""
    digest = session.exec(select(PersonRow.password_digest).where(PersonRow.id == person_id)).one_or_none()
    if digest is None:
        raise NotThere(f"There is no person number {person_id}.")
    return digest


def person_from(row: PersonRow) -> Person:
    """Turn a row into a person."""
    return Person(row.id or 0, row.name, Role(row.role), row.is_active)


def _found(row: PersonRow | None) -> Person | None:
    """Turn a row that may be missing into a person."""
    return None if row is None else person_from(row)
