"""Builders: a book with people, sheets, machines and past overhauls, each made by one call and complete by itself."""

from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import cache
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from argon2 import PasswordHasher
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from fastapi import FastAPI

from app.application import create_app, open_book
from app.domain.approvals import Approval
from app.domain.canonical import canonical, digest
from app.domain.limits import LimitSheet, Method, Part
from app.domain.numbers import parse_length, parse_stack
from app.domain.overhaul import (
    LIVE_MEANINGS,
    Confirmation,
    Decision,
    Fitting,
    Machine,
    Meaning,
    MeterReading,
    Overhaul,
    Phase,
    Scope,
    Signature,
)
from app.domain.people import Person, Role
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading
from app.domain.running_limits import PressureUnit
from app.domain.seal import content_for
from app.domain.sheet_file import read_sheet
from app.domain.steps import steps_of
from app.domain.units import LengthUnit
from app.settings import Settings
from app.store.book import Book
from app.store.facts import save_confirmation, save_decision, save_fitting, save_signature
from app.store.machines import save_machine, save_meter_reading
from app.store.migration import migrate
from app.store.overhauls import get_overhaul, save_overhaul
from app.store.people import save_person
from app.store.readings import save_reading
from app.store.running import save_run
from app.store.sheet_approvals import save_approval
from app.store.sheets import get_sheet_row, save_sheet

SAMPLES = Path(__file__).parents[1] / "sample_data"
NOW = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)
PASSWORD = "leaf-lamp-and-oil"
NUMBERS = count(1)
# One key for all books of tests, so that a copy of one opens like any other.
SITE_KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32))).private_bytes(
    Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()
)


def a_book(folder: Path) -> Book:
    """An empty book, brought up to date: one that was migrated once a run, copied, and opened as any other."""
    settings = Settings(data_folder=folder)
    if not settings.book_path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        settings.book_path.write_bytes(_migrated_book())
    if not settings.key_path.exists():
        settings.key_path.write_bytes(SITE_KEY)
    return open_book(settings)


@cache
def _migrated_book() -> bytes:
    """The file of a book without any rows in the newest form; tests of migrations make their own."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "wearbook.db"
        with closing(Book(path)) as book:
            migrate(book)
        return path.read_bytes()


def an_app(book: Book, **settings: object) -> FastAPI:
    """The real program around a book."""
    return create_app(Settings(data_folder=book.path.parent, **({"safe_again_hours": 0} | settings)), book)  # type: ignore[arg-type]


@cache
def password_digest() -> str:
    """The digest of the builders' password, of the least cost that there is: it is read at every sign-in of a test."""
    return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(PASSWORD)


def a_person(book: Book, name: str = "M. Tarrow", role: Role = Role.FITTER) -> Person:
    """A person who signs in with PASSWORD."""
    with book.writing(name, NOW) as writing:
        return save_person(writing, name, role, password_digest())


def a_sheet_text(file: str = "qm-ga.toml") -> str:
    """The text of a sheet of the sample data."""
    return (SAMPLES / file).read_text(encoding="utf-8")


def a_sheet(book: Book, file: str = "qm-ga.toml") -> LimitSheet:
    """A sheet of the sample data, imported."""
    text = a_sheet_text(file)
    with book.writing("I. Brandreth", NOW) as writing:
        save_sheet(writing, text, read_sheet(text))
    return read_sheet(text)


def approve(book: Book, sheet: LimitSheet, by: str = "R. Osk", at: datetime = NOW) -> None:
    """Put a chief engineer's signature under a revision."""
    with book.writing(by, at) as writing:
        row = get_sheet_row(writing.session, sheet.name, sheet.revision)
        named = {"meaning": "approved", "sheet": row.name, "revision": row.revision}
        content = canonical(named | {"text": row.digest, "page": None})
        approval = Approval(row.digest, None, by, at, digest(content))
        save_approval(writing, (row.id or 0, f"{row.name} rev {row.revision}"), approval, content, None)


def a_revision(book: Book, before: str, after: str) -> LimitSheet:
    """The next revision of the sheet QM-GA, imported, in which something stands otherwise."""
    text = a_sheet_text().replace('revision = "C"', 'revision = "D"')
    assert text.count(before) == 1
    text = text.replace(before, after)
    with book.writing("I. Brandreth", NOW) as writing:
        save_sheet(writing, text, read_sheet(text))
    return read_sheet(text)


def a_machine(book: Book, tag: str = "GA-1", hours: str = "2000", at: datetime = NOW, sheet: str = "QM-GA") -> Machine:
    """A machine with hours on its meter; its sheet is imported where the book has none of that name."""
    names = {"QM-GA": "qm-ga.toml", "QM-BA": "qm-ba.toml", "QM-TB": "qm-guarded.toml"}
    a_sheet(book, names[sheet])
    with book.writing("I. Brandreth", at) as writing:
        machine = save_machine(writing, tag, f"Q-{tag}", "Governor air", "Quillmoor", sheet)
        save_meter_reading(writing, machine, MeterReading(Decimal(hours), at, "I. Brandreth"))
        return machine


def an_overhaul(book: Book, machine: Machine, hours: str, at: datetime, sheet: LimitSheet, **scope: object) -> int:
    """An overhaul opened at some hours; scope: stages and has_rings."""
    covered = Scope(scope.get("stages", (1, 2, 3)), bool(scope.get("has_rings", True)))  # type: ignore[arg-type]
    with book.writing("M. Tarrow", at) as writing:
        save_meter_reading(writing, machine, MeterReading(Decimal(hours), at, "M. Tarrow"))
        return save_overhaul(writing, machine, sheet.name, sheet.revision, covered, Decimal(hours), f"r{next(NUMBERS)}")


def a_reading(part: str, characteristic: str, short: str, at: datetime = NOW, **other: object) -> Reading:
    """A reading: "0.60/0.65" goes and does not go, "0.65/" goes only, "sound" seen, "140.02" a size."""
    place = Place(part, characteristic, str(other.pop("level", "")), str(other.pop("axis", "")))
    entry = {
        "occasion": Occasion.AS_FOUND,
        "measured_by": "M. Tarrow",
        "entered_by": "M. Tarrow",
        "measured_at": at,
        "stored_at": at,
        "instrument": "F-03",
    }
    content = _content(characteristic, short, LengthUnit(other.pop("unit", "mm")))
    return Reading(id=f"reading-{next(NUMBERS)}", place=place, **(entry | content | other))  # type: ignore[arg-type]


def _content(characteristic: str, short: str, unit: LengthUnit) -> dict[str, object]:
    """Read the short writing of an entry."""
    if characteristic == SEEN:
        return {"kind": Kind.SEEN, "findings": tuple(short.split("+"))}
    if "/" not in short:
        return {"kind": Kind.SIZE, "value": parse_length(short, unit)}
    goes, stops = short.split("/")
    if not stops:
        return {"kind": Kind.GOES, "goes": parse_length(goes, unit)}
    return {"kind": Kind.PAIR, "goes": parse_stack(goes, unit), "does_not_go": parse_stack(stops, unit)}


def good_readings(parts: tuple[Part, ...], occasion: Occasion, at: datetime) -> list[Reading]:
    """A sound entry in the range of a new part, for every place of these parts."""
    readings = [a_reading(part.ref, SEEN, "sound", at, occasion=occasion) for part in parts]
    for part in parts:
        for each in part.characteristics:
            lower, upper = (each.new.lower.typed, each.new.upper.typed) if each.new else ("1", "2")
            value = f"{lower}/{upper}" if each.method is Method.FEELER else lower
            where = [{"level": level, "axis": axis, "unit": each.unit} for level, axis in each.places]
            readings += [a_reading(part.ref, each.key, value, at, occasion=occasion, **place) for place in where]
    return readings


def an_even_bore(parts: tuple[Part, ...], size: str, at: datetime) -> list[Reading]:
    """A bore found round and straight, of one size everywhere."""
    bores = [each for each in good_readings(parts, Occasion.AS_FOUND, at) if each.place.characteristic == "bore"]
    return [replace(each, id=f"r{next(NUMBERS)}", value=parse_length(size, LengthUnit.MM)) for each in bores]


def enter(book: Book, overhaul_id: int, *readings: Reading) -> None:
    """Store readings as they are, in this order."""
    with book.writing("M. Tarrow", NOW) as writing:
        for reading in readings:
            save_reading(writing, overhaul_id, reading)


def confirm_all(book: Book, overhaul_id: int, phase: Phase, at: datetime = NOW, but: tuple[str, ...] = ()) -> None:
    """Confirm every step of a phase but those named, each with the value its hint gives."""
    with book.writing("M. Tarrow", at) as writing:
        for step in steps_of(get_overhaul(writing.session, overhaul_id), phase):
            if step.key not in but:
                value = step.hint if step.asks else ""
                save_confirmation(writing, overhaul_id, Confirmation(phase, step.key, value, "M. Tarrow", at))


def a_good_run(**other: str) -> dict[str, str]:
    """What is typed of a run of a QM-GA machine in good order."""
    typed = {"barometer": "1.013", "intake_temperature": "20", "oil_pressure": "2.4", "oil_seconds": "8"}
    typed |= {"gauge-1": "2.3", "gauge-2": "11.3", "gauge-3": "40.0", "volume": "0.5", "speed": "900"}
    typed |= {"temperature-1": "115", "temperature-2": "136", "temperature-3": "129"}
    for run in "123":
        typed |= {f"start-{run}": "20", f"end-{run}": "40", f"seconds-{run}": "500"}
        typed |= {f"start_temperature-{run}": "22", f"end_temperature-{run}": "31"}
    return typed | {"request_id": f"run-{next(NUMBERS):06}"} | other


def run_it(book: Book, overhaul_id: int, at: datetime = NOW, **other: str) -> int:
    """Store a run that proves an overhaul; other: what was typed instead."""
    typed = a_good_run(**other)
    with book.writing("M. Tarrow", at) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        figures_in = (PressureUnit.BAR, len(found.sheet.stages))
        return save_run(writing, found.machine, overhaul_id, found.hours, figures_in, typed, typed["request_id"])


def decide(book: Book, overhaul_id: int, decision: Decision) -> None:
    """Store a decision as it is."""
    with book.writing(decision.person, decision.at) as writing:
        save_decision(writing, overhaul_id, decision)


def fit(book: Book, overhaul_id: int, ref: str, at: datetime, made_to: str = "") -> None:
    """Store that a part or set went in new, or that a part was made to a size."""
    size = parse_length(made_to, LengthUnit.MM) if made_to else None
    with book.writing("M. Tarrow", at) as writing:
        save_fitting(writing, overhaul_id, Fitting(ref, "" if size else "QM-31-230", "B-7", "M. Tarrow", at, size))


def sign_all(book: Book, overhaul_id: int, at: datetime, meanings: tuple[Meaning, ...] = LIVE_MEANINGS) -> Overhaul:
    """Sign an overhaul with these meanings, fitter and chief engineer in turn."""
    people = {Meaning.GAUGED: "M. Tarrow", Meaning.RETURNED_FITTER: "M. Tarrow"}
    for minute, meaning in enumerate(meanings):
        moment, person = at + timedelta(minutes=minute), people.get(meaning, "I. Brandreth")
        with book.writing(person, moment) as writing:
            content = canonical(content_for(get_overhaul(writing.session, overhaul_id), meaning))
            save_signature(writing, overhaul_id, Signature(meaning, person, moment, digest(content)), content)
    with book.reading() as session:
        return get_overhaul(session, overhaul_id)
