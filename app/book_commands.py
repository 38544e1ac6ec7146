"""The commands that keep the book safe: back it up, put a backup back, copy it as plain pages."""

import argparse
import socket
import sys
from contextlib import closing
from datetime import UTC, datetime
from getpass import getuser
from pathlib import Path
from typing import TYPE_CHECKING

from app.settings import Settings

if TYPE_CHECKING:
    from app.store.newer import Newer

LONGEST_NAME = 60


def describe_keeping(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Describe the commands."""
    commands.add_parser("backup", help="back up the book into the folder for backups, also while it is served")
    again = commands.add_parser("restore", help="put a backup in the place of the book, which is set aside")
    again.add_argument("file", type=Path, help="the backup")
    again.add_argument("--by", default="", help="who restores it, for the book; the account's name by default")
    again.add_argument("--leave-newer", action="store_true", help="go on although the book holds what it does not")
    moving = commands.add_parser("move-to", help="copy the book from its file into an empty PostgreSQL database")
    moving.add_argument("address", help="the database, as postgresql://NAME@HOST/DATABASE")
    anew = commands.add_parser("new-key", help="begin a new key of the site, where the one before is lost or was seen")
    anew.add_argument("--by", required=True, help="name of the chief engineer who begins it")
    anew.add_argument("--reason", required=True, help="why; it stands in the book")
    pages = commands.add_parser("export-html", help="write the book as plain pages, to be read without the program")
    pages.add_argument("folder", type=Path, help="a folder that is empty or not there yet")


def back_up_the_book(settings: Settings, _arguments: argparse.Namespace) -> int:
    """Back up the book and say where to."""
    from app.actions.backups import Backups
    from app.application import open_book

    book = open_book(settings)
    try:
        print(f"{Backups(book, settings).take(datetime.now(UTC))} is a verified backup of the book.")
    finally:
        book.close()
    return 0


def restore_the_book(settings: Settings, arguments: argparse.Namespace) -> int:
    """Put a backup in the place of the book, unless the book is being served."""
    from app.actions.left_out import in_short, write_list
    from app.store.heads_file import set_heads_aside
    from app.store.newer import find_newer
    from app.store.restore import restore

    if settings.book_address:
        print(
            "The book stands in PostgreSQL: restore a copy into an empty database, pg_restore --single-transaction "
            "--no-owner --dbname=ADDRESS FILE, let WEARBOOK_DATABASE_URL name it, and run python -m app verify.",
            file=sys.stderr,
        )
        return 1
    if not is_free(settings):
        print(f"Something listens on port {settings.port}: stop the server first, then restore.", file=sys.stderr)
        return 1
    newer = find_newer(settings.book_path, arguments.file)
    listed = write_list(newer, settings.book_path, settings.site_zone) if newer else None
    if newer and not newer.is_nothing:
        _say_what_is_left_out(settings, arguments, newer, listed)
        if not arguments.leave_newer:
            return 1
    by, now = arguments.by.strip()[:LONGEST_NAME] or f"account {getuser()}", datetime.now(UTC)
    aside = restore(settings.book_path, arguments.file, by, now, newer, in_short(newer, listed))
    heads = set_heads_aside(settings.heads_path, now)
    print(f"{arguments.file} is in place as {settings.book_path}.")
    if aside:
        print(f"The book before it was not thrown away: {aside}")
    if heads:
        print(f"The heads that were signed before stand in {heads}: its last line says how far the book had come.")
    _say_which_key(settings)
    return 0


def _say_what_is_left_out(
    settings: Settings, arguments: argparse.Namespace, newer: "Newer", listed: Path | None
) -> None:
    """Say aloud what the backup does not hold, where it is listed, and how to go on."""
    from app.actions.left_out import left_out_words

    said = [left_out_words(newer, settings.book_path, arguments.file, settings.site_zone)]
    if listed:
        said.append(
            f"Listed in {listed}. Once the backup is in place they are in no book that is served until they are "
            "entered anew, each with who measured it and when; what was signed is signed anew."
        )
    if not arguments.leave_newer:
        said.append(
            "Nothing was replaced. To go on, and set the present book aside with all of this: "
            f"python -m app restore {arguments.file} --leave-newer"
        )
    print(*said, sep="\n", file=sys.stderr)


def _say_which_key(settings: Settings) -> None:
    """Say which key the book needs, since no backup holds it."""
    from app.store.book import Book
    from app.store.opening import must_have_key
    from app.store.site_key import KeyRefused

    with closing(Book(settings.book_path)) as book:
        try:
            must_have_key(book, settings.key_path)
        except KeyRefused as reason:
            print(f"No backup holds the site's key. {reason}", file=sys.stderr)


def begin_a_new_key(settings: Settings, arguments: argparse.Namespace) -> int:
    """Begin a new key; the one before signs for it where it is here, and is kept beside it."""
    from app.actions.site_keys import begin_new_key
    from app.store.opening import open_existing

    if not is_free(settings):
        print(f"Something listens on port {settings.port}: stop the server first.", file=sys.stderr)
        return 1
    with closing(open_existing(settings.book_path, settings.book_address, settings.key_path)) as book:
        begun = begin_new_key(book, settings.key_path, arguments.by, arguments.reason, datetime.now(UTC))
    print(f"From entry {begun.entry} on the site's key is {begun.key.fingerprint}, in {settings.key_path}.")
    print(f"Write the fingerprint down elsewhere. {begun.before}")
    return 0


def move_the_book(settings: Settings, arguments: argparse.Namespace) -> int:
    """Move the book from its file into a database; the file stays as it is."""
    from app.store.book import Book
    from app.store.moving import move
    from app.store.postgres import read_address

    address = read_address(arguments.address)
    if not is_free(settings):
        print(f"Something listens on port {settings.port}: stop the server first, then move.", file=sys.stderr)
        return 1
    if not settings.book_path.is_file():
        print(f"There is no book {settings.book_path}.", file=sys.stderr)
        return 1
    with closing(Book(settings.book_path)) as book, closing(Book(settings.book_path, address)) as target:
        counts = move(book, target)
        print(f"{sum(counts.values())} rows, {counts['entry']} of them the chain, have arrived and verify.")
        print(
            f"The file {book.place} is as it was: keep it. From now on start with WEARBOOK_DATABASE_URL={target.place}"
        )
    return 0


def export_pages(settings: Settings, arguments: argparse.Namespace) -> int:
    """Write the book as plain pages."""
    from app.application import create_app
    from app.web.still_copy import write_still_copy

    app = create_app(settings)
    try:
        count = write_still_copy(app, arguments.folder)
    finally:
        app.state.book.close()
    print(f"{count} pages are written; open {arguments.folder / 'index.html'}")
    return 0


def is_free(settings: Settings) -> bool:
    """Whether the port can be listened on."""
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((settings.host, settings.port))
        except OSError:
            return False
    return True
