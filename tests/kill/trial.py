"""The trial: tablets post, the server is killed and started again, and what was acknowledged is looked for."""

import os
import random
import sqlite3
import threading
import time
from collections import Counter
from contextlib import closing
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from app.actions.overhauls import confirm_step
from app.domain.limits import LimitSheet, Method
from app.domain.overhaul import Machine, Phase
from app.domain.people import Person, Role
from app.domain.readings import Place
from app.domain.steps import open_steps
from app.store.book import Book
from app.store.chain import verify_chain
from app.store.overhauls import get_overhaul
from tests.builders import NOW, a_book, a_machine, a_person, a_sheet, an_overhaul
from tests.house.readme import free_port
from tests.kill.server import Server
from tests.kill.tablet import Tablet

TABLETS = 4
LONGEST_WAIT_S = 0.6  # from the first reading acknowledged to the kill
LONGEST_SIGN_IN_S = 30


@dataclass(frozen=True)
class Outcome:
    """What the tablets were told, and what the book holds."""

    kills: int
    acknowledged: dict[str, str]
    stored: list[tuple[str, str]]
    broken_entry: int | None
    surprises: list[str]
    seconds: float


def kills_wanted() -> int:
    """Read how many kills are wanted; ten where nothing is said."""
    return int(os.environ.get("WEARBOOK_TEST_KILLS", "10"))


def faults(acknowledged: dict[str, str], stored: list[tuple[str, str]]) -> list[str]:
    """Name every acknowledged reading that is not in the book exactly once, with the figure that was typed."""
    times = Counter(identifier for identifier, _ in stored)
    figures = dict(stored)
    lost = [f"{one}: {times[one]} times" for one in acknowledged if times[one] != 1]
    changed = [
        f"{one}: {typed} became {figures[one]}"
        for one, typed in acknowledged.items()
        if figures.get(one, typed) != typed
    ]
    return lost + changed


def run_trial(folder: Path, kills: int, seed: int) -> Outcome:
    """Kill the server so many times under load, and read back what the book holds."""
    begun, chance = time.monotonic(), random.Random(seed)
    book = a_book(folder)
    machine, sheet = a_machine(book), a_sheet(book)
    server = Server(folder, free_port())
    people = [a_person(book, f"Fitter {n}", Role.FITTER) for n in range(TABLETS)]
    tablets = [
        Tablet(server.address, person.name, bores(sheet), random.Random(chance.random()), person.id, number != 0)
        for number, person in enumerate(people)
    ]
    for number in range(kills):
        # An overhaul for each round, as in use: none grows to thousands of readings.
        overhaul_id = open_next(book, machine, sheet, people[0], number)
        server.start()
        work_and_kill(server, tablets, overhaul_id, chance.uniform(0, LONGEST_WAIT_S))
    with book.reading() as session:
        broken_entry = verify_chain(session)
    book.close()
    acknowledged = {one: typed for tablet in tablets for one, typed in tablet.acknowledged.items()}
    surprises = [words for tablet in tablets for words in tablet.surprises]
    seconds = time.monotonic() - begun
    return Outcome(kills, acknowledged, stored_readings(folder), broken_entry, surprises, seconds)


def work_and_kill(server: Server, tablets: list[Tablet], overhaul_id: int, seconds: float) -> None:
    """Let every tablet work at once, and kill the server in the middle of it."""
    workers = [threading.Thread(target=tablet.work, args=(overhaul_id,)) for tablet in tablets]
    for tablet, worker in zip(tablets, workers, strict=True):
        tablet.is_sending.clear()
        worker.start()
    for tablet in tablets:
        tablet.is_sending.wait(LONGEST_SIGN_IN_S)
    time.sleep(seconds)
    server.kill()
    for worker in workers:
        worker.join()


def open_next(book: Book, machine: Machine, sheet: LimitSheet, by: Person, number: int) -> int:
    """Open the overhaul of a round and make it safe, so that readings may be entered."""
    now = NOW + timedelta(hours=number)
    overhaul_id = an_overhaul(book, machine, str(2100 + number), now, sheet)
    with book.reading() as session:
        steps = open_steps(get_overhaul(session, overhaul_id), Phase.MAKE_SAFE)
    for step in steps:
        confirm_step(book, by, overhaul_id, Phase.MAKE_SAFE, step.key, step.hint, now)
    return overhaul_id


def bores(sheet: LimitSheet) -> tuple[Place, ...]:
    """List the places of the first bore that is gauged at levels and axes."""
    found = ((p, c) for s in sheet.stages for p in s.parts for c in p.characteristics if c.method is Method.BORE_GAUGE)
    part, characteristic = next(found)
    return tuple(Place(part.ref, characteristic.key, level, axis) for level, axis in characteristic.places)


def stored_readings(folder: Path) -> list[tuple[str, str]]:
    """Read identifier and figure of every reading straight from the file."""
    with closing(sqlite3.connect(folder / "wearbook.db")) as connection:
        return list(connection.execute("SELECT id, value_typed FROM reading ORDER BY seq"))
