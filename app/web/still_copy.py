"""The book as plain files: every machine, sheet and record, to be opened in any browser without the program."""

import re
import shutil
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import unquote, urlsplit

from fastapi import FastAPI

from app.domain.errors import WearbookError
from app.reports.moments import moment_writer
from app.web.asked import ask_program
from app.web.static_files import STATIC, piece
from app.web.still_page import StillPage

COPIED = re.compile(r"/|/machines/[^/?]+|/sheets|/sheets/[^/?]+/[^/?]+|/people|/overhauls/\d+/record|/photos/[^?]+")
NEVER = ("/machines/new", "/sheets/import")


class NotCopied(WearbookError):
    """The copy was not written."""


def write_still_copy(app: FastAPI, folder: Path) -> int:
    """Write the copy into a folder that is empty or not there yet, and give the number of pages."""
    if folder.exists() and any(folder.iterdir()):
        raise NotCopied(f"{folder} is not empty. Name a folder that is not there yet.")
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copytree(STATIC, folder / "static", ignore=shutil.ignore_patterns("js", "vendor"))
    (folder / "static" / "book.css").write_bytes(piece("book.css").content)
    return _follow_links(app, folder)


def _follow_links(app: FastAPI, folder: Path) -> int:
    """Write the first page and all that can be reached from it."""
    now, write = datetime.now(UTC), moment_writer(app.state.settings.site_zone)
    note = f"Read-only copy of the book, written {write(now)}. What was entered later is not in it."
    found, written = ["/"], 0
    for address in found:
        answer = ask_program(app, address)
        if answer.status != 200:  # so that none lacks unnoticed
            raise NotCopied(f"The page {address} could not be written (status {answer.status}).")
        content = answer.content
        if answer.is_page:
            still = StillPage(lambda link: _place(link, found), note)
            still.feed(content.decode())
            content = still.text.encode()
            written += 1
        (folder / _name(address, answer.kind)).write_bytes(content)
    return written


def _place(link: str, found: list[str]) -> str | None:
    """Say where an address stands in the copy, and remember to write it; None for what is not copied."""
    parts = urlsplit(link)
    if parts.path.startswith("/static/"):
        return None if parts.path.endswith(".js") else parts.path[1:]
    if parts.path in NEVER or parts.scheme or not COPIED.fullmatch(parts.path):
        return None
    if parts.path not in found:
        found.append(parts.path)
    kind = "image" if parts.path.startswith("/photos/") else "text/html"
    return _name(parts.path, kind) + (f"#{parts.fragment}" if parts.fragment else "")


def _name(address: str, kind: str) -> str:
    """Name the file of an address; two that differ only in unusual characters still differ."""
    plain = re.sub(
        r"[^A-Za-z0-9.-]", lambda found: f"_{ord(found[0]):x}_", unquote(address).strip("/").replace("/", "--")
    )
    return (plain or "index") + (".html" if kind.startswith("text/html") else "")
