"""How soon a tablet's page answers a tap, on a processor four times slower, with nothing of the page kept yet."""

import statistics
import tempfile
from pathlib import Path

from playwright.sync_api import Browser

from tests.benchmarks.figures import Figure
from tests.benchmarks.processes import VISITOR, the_program
from tests.benchmarks.workplace import Desk, a_workplace
from tests.browser.chromium import a_browser
from tests.builders import a_book

ROUNDS, SLOWER = 9, 4
MARK_MS = 1000
# In every frame the first figure of the keypad is tapped, until it stands in its field: then the page is interactive.
TAPPING = """(() => {
  const tap = () => {
    const key = document.querySelector('[data-key="1"]'), field = document.querySelector("[data-pad-field].current");
    if (key && field) {
      key.dispatchEvent(new PointerEvent("pointerdown", { bubbles: true }));
      key.click();
      if (field.value) { window.answeredAt = performance.now(); return; }
    }
    requestAnimationFrame(tap);
  };
  requestAnimationFrame(tap);
})();"""


def browsing() -> list[Figure]:
    """Open the gauging page again and again, each time in a browser that has seen nothing of it."""
    with tempfile.TemporaryDirectory() as folder, a_browser() as browser:
        book = a_book(Path(folder))
        desk = a_workplace(book, 1).desks[0]
        book.close()
        with the_program(Path(folder)) as served:
            took = [_interactive_ms(browser, served.port, desk) for _ in range(ROUNDS)]
    name = f"first load of the gauging page to the first tap answered, processor {SLOWER} times slower"
    return [Figure(name, statistics.median(took), None, "ms", MARK_MS)]


def _interactive_ms(browser: Browser, port: int, desk: Desk) -> float:
    """Open the page once; from the request to the frame in which a tap was answered [ms]."""
    address = f"http://127.0.0.1:{port}"
    with browser.new_context(viewport={"width": 1280, "height": 800}) as context:
        context.add_cookies(
            [{"name": name, "value": value, "url": address} for name, value in
             (("wearbook", desk.token), ("wearbook_visit", VISITOR))]
        )  # fmt: skip
        page = context.new_page()
        context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.add_init_script(TAPPING)
        page.goto(f"{address}/overhauls/{desk.overhaul_id}/gauge/2.pin/diameter")
        page.wait_for_function("() => window.answeredAt", timeout=30_000)
        return float(page.evaluate("() => window.answeredAt"))
