"""Pages of books from elsewhere: the program's own pages, of a book made from a bundle, with links within it."""

import atexit
import re
from collections.abc import Callable
from html import escape
from pathlib import Path
from shutil import rmtree
from tempfile import mkdtemp
from threading import Lock
from urllib.parse import urlsplit

from fastapi import FastAPI

from app.actions.elsewhere import rebuilt
from app.reports.moments import moment_writer
from app.store.book import Book
from app.store.foreign import ForeignBundle
from app.web.asked import Answer, ask_program
from app.web.moments import as_told
from app.web.still_page import StillPage

MOST_HELD = 4
SHOWN = re.compile(
    r"/|/machines/[^/]+(/(timeline|history|readings|readings\.csv|runs))?|/sheets/[^/]+/[^/]+|/photos/[^/]+|/runs/\d+"
    r"|/overhauls/\d+/(record|record\.pdf|working|working/[^/]+)|/entries(/\d+)?"
)
NOT_HERE = ("/machines/new",)


class Elsewhere:
    """The books made from bundles that were looked at last, each in a folder that goes with it."""

    def __init__(self, make: Callable[[Book], FastAPI]) -> None:
        self._make = make
        self._held: dict[str, tuple[FastAPI, Path]] = {}
        self._turn = Lock()

    def ask(self, digest: str, content: Callable[[], bytes], address: str, query: str) -> Answer:
        """Ask the book of a bundle for an address; it is made when it is first asked."""
        with self._turn:
            if digest not in self._held:
                self._held[digest] = self._open(content())
            held = self._held.pop(digest)
            self._held[digest] = held  # as the one looked at last
            while len(self._held) > MOST_HELD:
                self._let_go(next(iter(self._held)))
            return ask_program(held[0], address, query)

    def close(self) -> None:
        """Let go of every book."""
        with self._turn:
            for digest in list(self._held):
                self._let_go(digest)

    def _open(self, content: bytes) -> tuple[FastAPI, Path]:
        """Make the book of a bundle, and the pages around it."""
        folder = Path(mkdtemp(prefix="wearbook-elsewhere-"))
        atexit.register(rmtree, folder, ignore_errors=True)  # also where nobody has closed the program in order
        return self._make(rebuilt(content, folder)), folder

    def _let_go(self, digest: str) -> None:
        """Close a book and clear its folder away."""
        app, folder = self._held.pop(digest)
        app.state.book.close()
        rmtree(folder, ignore_errors=True)


def is_shown(path: str) -> bool:
    """Whether a page of a book from elsewhere is shown here."""
    return SHOWN.fullmatch(path) is not None and path not in NOT_HERE


def still(page: str, number: int, bundle: ForeignBundle, zone: str, key: str) -> str:
    """Take a page's forms and scripts out, lead its links within the bundle, and say on it where it comes from."""
    base, made = f"/elsewhere/{number}", as_told(bundle.made_at, moment_writer(zone))
    note = f"Read-only: a record of {bundle.site}, exported {made} by {bundle.made_by}, {key}."

    def place(link: str) -> str | None:
        """Where a link leads."""
        parts = urlsplit(link)
        if parts.path.startswith("/static/"):
            return None if parts.path.endswith(".js") else link
        return f"{base}{link}" if not parts.scheme and is_shown(parts.path) else None

    written = StillPage(place, note)
    written.feed(page)
    back = ' <a href="/elsewhere">All records of other books</a>'
    return written.text.replace(escape(note), escape(note) + back, 1)
