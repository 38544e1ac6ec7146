"""Debian's Chromium as a tablet in front of the real program, with an eye for whatever a page gets wrong."""

import re
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import Browser, ConsoleMessage, Page, sync_playwright

from app.application import create_app
from app.demonstration.people import PEOPLE
from app.settings import Settings
from app.web.cookies import BOOK_COOKIE
from tests.browser.debian import CHROMIUM, IS_CI, MISSING

# Tablets held across, with the bars of the system taken off, and one held upright.
SIZES = {"large": (1280, 728), "small": (1024, 680), "upright": (800, 1280)}
LIGHTS = ("day", "engine")
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
NAMED_AS_SEEN = "label-content-name-mismatch"  # axe-core leaves it off unless it is asked for
# A refusal in words is an answer of the program, though the browser logs its status as if it were a failure.
REFUSED = re.compile(r"the server responded with a status of (403|404|409|422)\b")

NO_WORKER = "Service Worker registration blocked by Playwright"  # as a tablet is told to, but where a test wants one


@contextmanager
def a_browser() -> Iterator[Browser]:
    """Start Chromium; without it a test is skipped, and in CI it fails."""
    if CHROMIUM is None:
        (pytest.fail if IS_CI else pytest.skip)(MISSING)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@contextmanager
def serving(app: FastAPI) -> Iterator[str]:
    """Serve a program on a free loopback port, and give its address."""
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="on"))
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen()  # whoever comes before the program is ready waits for it
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            yield f"http://127.0.0.1:{listening.getsockname()[1]}"
        finally:
            server.should_exit = True
            thread.join()


@contextmanager
def a_server(folder: Path, **settings: Any) -> Iterator[str]:
    """Serve the book of a data folder, and give its address."""
    with serving(create_app(Settings(data_folder=folder, **settings))) as served:
        yield served


def name_of(role: str) -> str:
    """The invented person who has this role, the first of them where there are two."""
    return next(person.name for person in PEOPLE if person.role == role)


@cache
def axe_source() -> str:
    """The text of axe-core."""
    return files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")


class Tablet:
    """One tablet: a page with touch, in one size and one light, that remembers every complaint of the browser."""

    def __init__(
        self, browser: Browser, address: str, size: str = "large", light: str = "day", has_script: bool = True,
        has_worker: bool = False,
    ) -> None:  # fmt: skip
        width, height = SIZES[size]
        self.address = address
        self.context = browser.new_context(
            base_url=address,
            viewport={"width": width, "height": height},
            has_touch=True,
            locale="en-GB",
            java_script_enabled=has_script,
            # A worker would stand between the page and whatever a test does to its network.
            service_workers="allow" if has_worker else "block",
        )
        self.context.add_cookies([{"name": "room", "value": light, "url": address}])
        self.context.set_default_timeout(15_000)
        self.complaints: list[str] = []
        self.page = self.another_page()

    def another_page(self) -> Page:
        """Open one more page of the same browser; its complaints count too."""
        page = self.context.new_page()
        page.on("console", self._hear)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        return page

    def open(self, path: str) -> Page:
        """Open a page of the book."""
        self.page.goto(path)
        return self.page

    def sign_in(self, role: str = "fitter", password: str = "") -> Page:
        """Sign in by the form as the invented person of a role, by the demonstration's password where none is given."""
        known = {person.name: person.password for person in PEOPLE}
        self.open("/sign-in")
        self.page.get_by_label("Name", exact=True).fill(name_of(role))
        self.page.get_by_label("Password", exact=True).fill(password or known[name_of(role)])
        self.page.locator("#next").tap()
        self.page.wait_for_url(lambda url: "/sign-in" not in url)
        return self.page

    def carry(self, token: str) -> None:
        """Carry a sign-in that was made elsewhere."""
        self.context.add_cookies([{"name": BOOK_COOKIE, "value": token, "url": self.address}])

    def axe(self, *more: str) -> list[str]:
        """Name every violation of WCAG 2.2 AA on the page as it stands, and of the rules that are asked for besides."""
        self.page.evaluate(axe_source())
        # The foot is pinned: what stands half under it for the moment is read by scrolling, so it is laid at the end.
        self.page.evaluate("document.querySelectorAll('footer').forEach(foot => { foot.style.position = 'static'; })")
        found = self.page.evaluate(
            "asked => axe.run(document, asked)", {"runOnly": WCAG, "rules": {rule: {"enabled": True} for rule in more}}
        )
        self.page.evaluate("document.querySelectorAll('footer').forEach(foot => { foot.style.position = ''; })")
        return [
            f"{violation['id']} at {node['target']}: {node['failureSummary']}"
            for violation in found["violations"]
            for node in violation["nodes"]
        ]

    def overflow(self) -> int:
        """How many pixels the page is wider than the screen; 0 where nothing scrolls sideways."""
        return int(self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))

    def close(self) -> None:
        """Put the tablet away; what the browser complained of fails the test."""
        self.context.close()
        assert not self.complaints, "; ".join(self.complaints)

    def _hear(self, message: ConsoleMessage) -> None:
        """Remember errors and warnings of the console."""
        is_refusal = REFUSED.search(message.text) and "/static/" not in message.location["url"]
        if message.type in ("error", "warning") and not is_refusal and NO_WORKER not in message.text:
            self.complaints.append(f"{message.type}: {message.text}")
