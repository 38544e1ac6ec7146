"""Counts the taps and seconds of a complete gauging of three stages: 9 gaps, 18 bore diameters, 6 valves.

`python -m tests.taps` plays a fitter in Chromium against the real program and prints what it took beside the least
possible: one tap for each figure, leaf or finding that has to be given, and one for each Keep that has to follow.
"""

import sys
import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Page

from app.actions.overhauls import overhaul
from app.actions.people import sign_in
from app.domain.overhaul import Overhaul, Phase
from app.domain.people import Role
from app.domain.readings import Reading
from app.domain.sheet_file import read_sheet
from app.store.book import Book
from app.store.machines import save_machine
from app.store.sheets import save_sheet
from tests.browser.chromium import Tablet, a_browser, serving
from tests.browser.hand import wake
from tests.builders import PASSWORD, a_book, a_person, an_app, an_overhaul, confirm_all

SIZES_MM = {1: "140.00", 2: "78.00", 3: "40.00"}
HEAD = """
[sheet]
name = "Taps"
revision = "A"
machine_type = "Three stages"
approver = "I. Brandreth"
unit = "mm"
source = { document = "Invented for counting taps", page = "1" }
feelers = { leaves = [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.55, 0.60] }
"""
STAGE = """
[[stage]]
number = {number}
bore = {bore}
[[stage.part]]
key = "suction-valve"
kind = "valve"
name = "Suction valve"
port = "suction"
construction = "plate"
[[stage.part]]
key = "delivery-valve"
kind = "valve"
name = "Delivery valve"
port = "delivery"
construction = "plate"
[[stage.part]]
key = "ring"
kind = "ring"
name = "Ring"
count = 3
[[stage.part.characteristic]]
key = "closed-gap"
name = "Closed gap"
method = "feeler"
new = [0.20, 0.35]
limit = [{{ upper = 0.65 }}]
[[stage.part]]
key = "cylinder"
kind = "cylinder"
name = "Cylinder"
[[stage.part.characteristic]]
key = "bore"
name = "Bore"
method = "bore gauge"
levels = ["top", "middle", "bottom"]
axes = ["along the pin", "across the pin"]
limit = [{{ measure = "wear", upper = 0.30 }}]
"""

# What the fitter finds everywhere, as the book writes it, and the taps that say it in the fewest keys: a part that is
# sound needs none before Keep, a gap its two leaves, a dial that stands at +0.03 its point and two figures.
FOUND = {
    "seen": ("sound", ()),
    "closed-gap": ("goes 0.30 mm, does not go 0.35 mm", ("0.30", "0.35")),
    "bore": ("dial 0.03 mm on ", ".03"),
}
HOW = {"closed-gap": "Goes / does not go", "bore": "Dial"}


@dataclass
class Count:
    """What a gauging took: taps, the entries kept, and the seconds that passed."""

    taps: int = 0
    least: int = 0
    kept: int = 0
    seconds: float = 0.0

    @property
    def over(self) -> float:
        """How many more taps than the least possible, as a share."""
        return self.taps / self.least - 1


def a_gauging(folder: Path, stages: tuple[int, ...]) -> tuple[Book, int]:
    """A book with a machine opened on some stages and made safe."""
    book, now = a_book(folder), datetime.now(UTC) - timedelta(hours=2)
    a_person(book, "M. Tarrow", Role.FITTER)
    text = HEAD + "".join(STAGE.format(number=number, bore=bore) for number, bore in SIZES_MM.items())
    sheet = read_sheet(text)
    with book.writing("I. Brandreth", now) as writing:
        save_sheet(writing, text, sheet)
        machine = save_machine(writing, "GA-1", "Q-1", "Governor air", "Quillmoor", sheet.name)
    opened = an_overhaul(book, machine, "2300", now, sheet, stages=stages)
    confirm_all(book, opened, Phase.MAKE_SAFE, now)
    return book, opened


def gauge_all(page: Page, count: Count) -> None:
    """Gauge place after place as they come up, until no place is left."""
    begun = time.perf_counter()
    while "/gauged" not in page.url:
        _gauge_one(page, count, page.url.split("?")[0].rsplit("/", 1)[1])
    count.seconds = time.perf_counter() - begun


def _gauge_one(page: Page, count: Count, characteristic: str) -> None:
    """Give what this place asks for, and keep it."""
    _choose_how(page, count, characteristic)
    for figure in FOUND[characteristic][1]:
        page.locator(f'[data-leaf="{figure}"], .pad [data-key="{figure}"]').locator("visible=true").tap()
        count.taps += 1
    wake(page)
    before = page.locator(".gauge-form [name=id]").get_attribute("value")
    page.locator("[data-keep]").last.tap()
    page.wait_for_function("before => document.querySelector('.gauge-form [name=id]')?.value !== before", arg=before)
    count.taps += 1
    count.least += len(FOUND[characteristic][1]) + 1
    count.kept += 1


def _choose_how(page: Page, count: Count, characteristic: str) -> None:
    """Change to the way of gauging that the fitter uses, where the page offers another."""
    way = page.get_by_role("link", name=HOW.get(characteristic, "none"), exact=True)
    if way.count() and not way.get_attribute("aria-current"):
        way.tap()
        page.wait_for_url("**how=*")
        count.taps += 1


def measured(stages: tuple[int, ...] = (1, 2, 3)) -> Count:
    """Play the fitter, and give what it took and what was stored."""
    with TemporaryDirectory() as folder, a_browser() as browser:
        book, opened = a_gauging(Path(folder), stages)
        with serving(an_app(book)) as address:
            tablet = Tablet(browser, address)
            tablet.carry(sign_in(book, "M. Tarrow", PASSWORD, datetime.now(UTC)).token)
            page, count = tablet.open(f"/overhauls/{opened}/gauge"), Count()
            gauge_all(page, count)
            require_stored(overhaul(book, opened), count)
            tablet.close()
        book.close()
    return count


def require_stored(found: Overhaul, count: Count) -> None:
    """Stop where the book does not hold exactly what the fitter found, everywhere and once."""
    places = [place for part in found.parts for place in part.required]
    wrong = [r.written for r in found.readings if not _is_as_found(r)]
    if wrong or sorted(r.place for r in found.readings) != sorted(places) or len(places) != count.kept:
        raise SystemExit(f"{count.kept} entries were kept, {len(found.readings)} stand in the book, wrong: {wrong}")


def _is_as_found(reading: Reading) -> bool:
    """Whether a reading is what the fitter found there."""
    return reading.written.startswith(FOUND[reading.place.characteristic][0])


def main() -> int:
    """Count, and print."""
    found = measured()
    print(f"{found.kept} entries kept: {found.taps} taps, the least possible {found.least} ({found.over:+.1%})")
    print(f"{found.seconds:.1f} s of the tool's own time, {found.seconds / found.kept * 1000:.0f} ms an entry")
    return 0


if __name__ == "__main__":
    sys.exit(main())
