"""The trial: a fitter gauges while the network is cut again and again, and the book must hold what was entered."""

import random
import sqlite3
import time
from collections import Counter
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from playwright.sync_api import Page
from playwright.sync_api import TimeoutError as TimeIsOver

from app.actions.people import sign_in
from app.domain.limits import LimitSheet
from app.domain.overhaul import Phase
from app.domain.people import Role
from app.store.book import Book
from tests.browser.chromium import Tablet, a_browser
from tests.browser.hand import HAS_COME, MARK, wake
from tests.builders import PASSWORD, a_book, a_machine, a_person, a_sheet, an_overhaul, confirm_all
from tests.cuts.network import Network
from tests.house.readme import free_port
from tests.kill.server import Server

MOST_IN_A_CUT = 3
ENTRIES = """async () => (await tablet.store.list_entries()).map((entry) => [entry.id, entry.state, entry.reason])"""
PAGES = "async () => (await tablet.store.list_pages()).length"
LONGEST_SENDING_S = 60
PAGES_AHEAD = 6
LONGEST_TURN_MS = 8_000


@dataclass
class Outcome:
    """What the fitter entered, in order, what the book holds, and how often the network was cut, and how."""

    entered: list[tuple[str, str]] = field(default_factory=list)
    stored: list[tuple[str, str]] = field(default_factory=list)
    cuts: Counter[str] = field(default_factory=Counter)
    on_tablet: list[str] = field(default_factory=list)
    seconds: float = 0.0

    @property
    def faults(self) -> list[str]:
        """What is wrong: entries that stand on the tablet still, and any difference to the book, order included."""
        return self.on_tablet + differences(self.entered, self.stored)


def differences(entered: list[tuple[str, str]], stored: list[tuple[str, str]]) -> list[str]:
    """Name every entry that is missing, stored more than once, changed, or out of order."""
    times, figures = Counter(one for one, _ in stored), dict(stored)
    lost = [f"{one}: {times[one]} times" for one, _ in entered if times[one] != 1]
    changed = [f"{one}: {typed} became {figures[one]}" for one, typed in entered if figures.get(one, typed) != typed]
    foreign = [f"{one}: never entered" for one in figures if one not in dict(entered)]
    return lost + changed + foreign or ([] if entered == stored else ["the order differs"])


class Trial:
    """One fitter at one tablet; each machine is gauged until no place is left, then the next one is opened."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.chance, self.outcome, self.opened = folder, random.Random(seed), Outcome(), 0
        self.book: Book = a_book(folder)
        self.fitter = a_person(self.book, "M. Tarrow", Role.FITTER)
        self.sheet: LimitSheet = a_sheet(self.book)
        self.server = Server(folder, free_port())

    def run(self, cuts: int) -> Outcome:
        """Cut the network so many times, and read back what the book holds."""
        begun = time.monotonic()
        self.server.start()
        with a_browser() as browser:
            tablet = Tablet(browser, self.server.address)
            tablet.carry(sign_in(self.book, self.fitter.name, PASSWORD, datetime.now(UTC)).token)
            network = Network(tablet.page, self.server, self.chance)
            self._open_next(tablet.page)
            for _ in range(cuts):
                self._cut_once(tablet.page, network)
            self._settle(tablet.page)
            tablet.context.close()
        self.server.kill()
        self.book.close()
        self.outcome.stored, self.outcome.seconds = stored_entries(self.folder), time.monotonic() - begun
        return self.outcome

    def _cut_once(self, page: Page, network: Network) -> None:
        """Cut before, or at a random moment after Keep; enter a few readings; let the network heal."""
        name, cut = network.cut()
        self.outcome.cuts[name] += 1
        many = self.chance.randint(1, MOST_IN_A_CUT)
        if self.chance.random() < 0.5:
            self._enter(page, is_waited_for=False)
            page.wait_for_timeout(self.chance.uniform(0, 120))
        with cut:  # type: ignore[attr-defined]
            while many and self._enter(page):
                many -= 1
        comes_fresh(page)
        if self.chance.random() < 0.2:
            page.reload()
        if "/gauge/" not in page.url or not page.locator(".gauge-form").get_attribute("data-left"):
            self._open_next(page)

    def _enter(self, page: Page, *, is_waited_for: bool = True) -> bool:
        """Enter a figure of its own at the place that is shown; False where the hand cannot go on for now."""
        if not comes_fresh(page) or not page.locator(".gauge-form [data-keep]").count():
            return False
        wake(page)
        figure = self._figure(page)
        self.outcome.entered.append((page.locator(".gauge-form [name=id]").input_value(), figure))
        page.evaluate(MARK)
        page.locator(".gauge-form [data-keep]").last.tap()
        return comes_fresh(page) if is_waited_for else True

    def _figure(self, page: Page) -> str:
        """Type a figure within the range of a new part; nothing where the condition is looked at."""
        if not page.locator("#f-value").count():
            return "sound"
        part = self.sheet.part(page.locator(".gauge-form [name=part]").input_value())
        found = part.characteristic(page.locator(".gauge-form [name=characteristic]").input_value()) if part else None
        new = found.new if found else None
        low, high = (new.lower.mm, new.upper.mm) if new else found.possible_mm if found else (Decimal(1), Decimal(1))
        figure = str((low + (high - low) * Decimal(self.chance.randint(30, 70)) / 100).quantize(Decimal("0.001")))
        page.locator("#f-value").fill(figure)
        return figure

    def _open_next(self, page: Page) -> None:
        """Settle what waits, then open another machine and its first place, and let some pages come ahead."""
        self._settle(page)
        now = datetime.now(UTC) - timedelta(minutes=10)
        machine = a_machine(self.book, f"GA-{self.opened}", at=now - timedelta(days=300))
        self.opened += 1
        overhaul_id = an_overhaul(self.book, machine, "2300", now, self.sheet)
        confirm_all(self.book, overhaul_id, Phase.MAKE_SAFE, now)
        page.goto(f"/overhauls/{overhaul_id}/gauge")
        end = time.monotonic() + LONGEST_SENDING_S
        while page.evaluate(PAGES) < PAGES_AHEAD and time.monotonic() < end:
            page.wait_for_timeout(50)

    def _settle(self, page: Page) -> None:
        """Wait until nothing waits on the tablet; what still does then is a fault, and so is what was refused."""
        if not self.opened:
            return
        end = time.monotonic() + LONGEST_SENDING_S
        while waits(page) and time.monotonic() < end:
            page.wait_for_timeout(50)
        left = [f"{one} {state}: {why}" for one, state, why in page.evaluate(ENTRIES) if state != "sent"]
        self.outcome.on_tablet = left


def comes_fresh(page: Page) -> bool:
    """Wait a while for a page from which nothing was kept yet."""
    try:
        page.locator(HAS_COME).wait_for(state="attached", timeout=LONGEST_TURN_MS)
    except TimeIsOver:
        return False
    page.wait_for_load_state()
    return True


def waits(page: Page) -> bool:
    """Whether an entry waits to be sent."""
    return any(state == "waiting" for _, state, _ in page.evaluate(ENTRIES))


def stored_entries(folder: Path) -> list[tuple[str, str]]:
    """Read identifier and figure of every entry straight from the file, in the order stored."""
    with closing(sqlite3.connect(folder / "wearbook.db")) as connection:
        rows = connection.execute("SELECT id, coalesce(value_typed, 'sound') FROM reading ORDER BY seq")
        return [(one, figure or "sound") for one, figure in rows]
