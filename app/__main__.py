"""The command line: serve the book, serve the demonstration, import a limit sheet."""

import argparse
import gc
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

if __name__ == "__main__":
    gc.disable()  # What is put together from here on stays: looking through it again and again would delay the start.

from app.archive_command import describe_archiving, export_book, import_bundle, verify
from app.book_commands import (
    back_up_the_book,
    begin_a_new_key,
    describe_keeping,
    export_pages,
    is_free,
    move_the_book,
    restore_the_book,
)
from app.bundle_command import describe_bundling, make_bundle
from app.domain.errors import WearbookError
from app.domain.sheet_faults import SheetRefused
from app.rejudge_command import describe_rejudging, rejudge_old_paper, write_reading_template
from app.serving.log import write_log
from app.serving.runtime import settle
from app.settings import SettingRefused, Settings, read_settings


def main(words: list[str] | None = None) -> int:
    """Run one command and give its exit status."""
    arguments = _parser().parse_args(words)
    write_log()
    try:
        settings = read_settings()
        if arguments.command not in (None, "serve") and not gc.isenabled():
            settle()
        return COMMANDS[arguments.command or "serve"](settings, arguments)
    except SheetRefused as refusal:
        print(*(fault.words for fault in refusal.faults), sep="\n", file=sys.stderr)
    except (SettingRefused, WearbookError) as refusal:
        print(refusal, file=sys.stderr)
    return 1


def _parser() -> argparse.ArgumentParser:
    """Describe the commands."""
    parser = argparse.ArgumentParser(prog="python -m app", description="Wearbook, the overhaul book of a compressor.")
    commands = parser.add_subparsers(dest="command")
    serving = commands.add_parser("serve", help="serve the book in the data folder (what happens without a command)")
    showing = commands.add_parser("demo", help="serve the invented Quillmoor station from its own file")
    for one in (serving, showing):
        one.add_argument("--tls", action="store_true", help="encrypt, with certificates of the site's own authority")
    serving.add_argument("--processes", type=int, metavar="N", help="server processes; needs a book in PostgreSQL")
    parser.set_defaults(tls=False, processes=None)
    sheet = commands.add_parser("import-sheet", help="import a limit sheet into the book")
    sheet.add_argument("file", type=Path, help="the sheet's TOML file")
    sheet.add_argument("--by", required=True, help="name of the chief engineer who imports it")
    sheet.add_argument("--accept-warnings", action="store_true", help="accept the sheet's warnings by that name")
    describe_keeping(commands)
    describe_rejudging(commands)
    describe_archiving(commands)
    describe_bundling(commands)
    return parser


def serve(settings: Settings, arguments: argparse.Namespace) -> int:
    """Serve the book until stopped."""
    from app.application import create_app
    from app.serving.server import serve_plainly

    settle()  # before the book is opened: bringing it up to date may leave much behind
    if not is_free(settings):
        print(
            f"Port {settings.port} on {settings.host} is taken: is the book open already? "
            "Set WEARBOOK_PORT to another number to serve a second one.",
            file=sys.stderr,
        )
        return 1
    if arguments.processes:
        settings = replace(settings, processes=arguments.processes)
    if settings.processes > 1:
        return _serve_by_several(settings, arguments.tls)
    if arguments.tls:
        return _serve_with_tls(settings)
    app = create_app(settings)
    address = f"http://{settings.host}:{settings.port}"
    print(f"The book {app.state.book.place} is open at {address}  (Ctrl-C closes it)", flush=True)
    serve_plainly(app, settings.host, settings.port)
    return 0


def _serve_by_several(settings: Settings, is_encrypted: bool) -> int:
    """Serve a book in PostgreSQL by several processes behind one port until stopped."""
    from app.application import open_book
    from app.serving.server import serve_by_several

    if not settings.book_address:
        print(
            "Several processes need a book in PostgreSQL (WEARBOOK_DATABASE_URL): a file takes one writer at a time, "
            "and one process keeps its writers waiting the least.",
            file=sys.stderr,
        )
        return 1
    if is_encrypted:
        print("Several processes do not encrypt by themselves. Put a proxy that does before them.", file=sys.stderr)
        return 1
    book = open_book(settings)  # brought up to date once, before the processes open it
    book.close()
    address = f"http://{settings.host}:{settings.port}"
    print(
        f"The book {book.place} is open at {address}, by {settings.processes} processes  (Ctrl-C closes it)", flush=True
    )
    serve_by_several("app.application:create_app_again", settings.host, settings.port, settings.processes)
    return 0


def _serve_with_tls(settings: Settings) -> int:
    """Serve the book encrypted until stopped, and beside it the plain page that leads tablets there."""
    from app.application import create_app, create_way_in
    from app.serving.addresses import reached
    from app.serving.certificate import open_credentials
    from app.serving.server import serve_both

    way_in = replace(settings, port=settings.way_in_port)
    if not is_free(way_in):
        print(f"Port {way_in.port} is taken too: set WEARBOOK_WAY_IN_PORT to another number.", file=sys.stderr)
        return 1
    found, folder = reached(settings.host, settings.names), settings.data_folder / "tls"
    credentials = open_credentials(folder, found, settings.port, way_in.port, datetime.now(UTC))
    app = create_app(settings, trust=credentials.trust)
    print(f"The book {app.state.book.place} is open at {credentials.trust.address}  (Ctrl-C closes it)")
    print(f"{credentials.trust.way_in} leads tablets there; the authority's SHA-256 fingerprint is")
    print(credentials.trust.fingerprint, flush=True)
    serve_both(app, settings.port, create_way_in(app), way_in.port, settings.host, credentials)
    return 0


def demonstrate(settings: Settings, arguments: argparse.Namespace) -> int:
    """Serve the demonstration, made when its file is not there yet."""
    settings = replace(settings, is_demonstration=True)
    if not settings.book_path.exists():
        print("Writing the Quillmoor demonstration, this takes a moment ...", flush=True)
        write_demonstration(settings)
    return serve(settings, arguments)


def write_demonstration(settings: Settings) -> None:
    """Write the demonstration beside its place and move it there whole, so that none is ever served half told."""
    from app.application import open_book
    from app.demonstration.load import load_demonstration

    with TemporaryDirectory(dir=_made(settings.data_folder)) as folder:
        beside = replace(settings, data_folder=Path(folder), site_key=settings.key_path.absolute())
        book = open_book(beside)
        load_demonstration(book, datetime.now(UTC))
        book.close()
        beside.book_path.replace(settings.book_path)


def _made(folder: Path) -> Path:
    """Make the data folder where it is not there yet."""
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def import_a_sheet(settings: Settings, arguments: argparse.Namespace) -> int:
    """Import a limit sheet, in the name of a chief engineer in the book."""
    from app.actions.people import person_named
    from app.actions.sheets import import_sheet
    from app.application import open_book

    book = open_book(settings)
    try:
        by = person_named(book, arguments.by)
        text = arguments.file.read_text(encoding="utf-8")
        sheet = import_sheet(book, by, text, arguments.accept_warnings, datetime.now(UTC))
    finally:
        book.close()
    print(f"{sheet.title} is in the book.")
    return 0


COMMANDS = {
    None: serve,
    "serve": serve,
    "demo": demonstrate,
    "import-sheet": import_a_sheet,
    "export": export_book,
    "import-bundle": import_bundle,
    "verify": verify,
    "backup": back_up_the_book,
    "restore": restore_the_book,
    "move-to": move_the_book,
    "new-key": begin_a_new_key,
    "export-html": export_pages,
    "bundle": make_bundle,
    "rejudge": rejudge_old_paper,
    "rejudge-template": write_reading_template,
}

if __name__ == "__main__":
    sys.exit(main())
