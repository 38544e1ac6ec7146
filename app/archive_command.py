"""The commands for whoever keeps the book: take it out as files, and check that it is whole."""

import argparse
import sys
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from app.actions.elsewhere import bring_in
from app.actions.export_files import Circumstances, Form, export_file
from app.actions.exports import Wanted, wanted_overhaul
from app.actions.people import person_named
from app.actions.verifying import WrittenDown, read_head, verify_book
from app.domain.errors import InputRefused, WearbookError
from app.settings import Settings
from app.store.book import Book
from app.store.opening import open_existing

UNFINISHED = ".part"


def describe_archiving(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Describe the commands."""
    export = commands.add_parser("export", help="write one record, one machine or the whole book into a file")
    export.add_argument("file", type=Path, help="the file, by its ending: .zip a bundle, .json, .xlsx or .csv")
    export.add_argument("--machine", default="", metavar="TAG", help="only the machine with this tag")
    export.add_argument("--overhaul", type=int, metavar="NUMBER", help="only this overhaul of the machine")
    bringing = commands.add_parser("import-bundle", help="keep the records of another book, from a bundle it exported")
    bringing.add_argument("file", type=Path, help="the bundle")
    bringing.add_argument("--by", required=True, help="name of the chief engineer who brings it in")
    check = commands.add_parser("verify", help="check the book: file, chain of entries, rows, signatures, signed heads")
    check.add_argument("--head", default="", metavar="NUMBER:DIGEST", help="an entry as it was written down elsewhere")
    check.add_argument("--fingerprint", default="", help="the site's key as it was written down elsewhere")


def export_book(settings: Settings, arguments: argparse.Namespace) -> int:
    """Write an export beside its place and give it its name when it is whole; nothing is overwritten."""
    target: Path = arguments.file
    form = _form_of(target)
    if target.exists():
        raise WearbookError(f"{target} is there already. Choose another name.")
    around = Circumstances("the command line", datetime.now(UTC), settings.site_zone, settings.is_demonstration)
    with closing(open_existing(settings.book_path, settings.book_address, settings.key_path)) as book:
        wanted = _wanted(book, arguments)
        beside = target.with_name(target.name + UNFINISHED)
        try:
            with beside.open("wb") as file:
                file.writelines(export_file(book, wanted, form, around).content)
            beside.rename(target)
        except OSError as reason:
            raise WearbookError(f"{target} could not be written: {reason.strerror}.") from reason
        finally:
            beside.unlink(missing_ok=True)
    print(f"{target} holds {target.stat().st_size} bytes.")
    return 0


def import_bundle(settings: Settings, arguments: argparse.Namespace) -> int:
    """Keep a bundle of another book beside this one, and say what became of each record."""
    try:
        content = arguments.file.read_bytes()
    except OSError as reason:
        raise WearbookError(f"{arguments.file} could not be read: {reason.strerror}.") from reason
    with closing(open_existing(settings.book_path, settings.book_address, settings.key_path)) as book:
        try:
            brought = bring_in(book, person_named(book, arguments.by), content, datetime.now(UTC))
        except InputRefused as refusal:
            raise WearbookError(refusal.fields["file"]) from refusal
    print(brought.words)
    return 0


def verify(settings: Settings, arguments: argparse.Namespace) -> int:
    """Check the book and say what was found; exit status 1 where something is not as it was written."""
    head = read_head(arguments.head) if arguments.head else WrittenDown()
    with closing(open_existing(settings.book_path, settings.book_address, settings.key_path)) as book:
        found = verify_book(book, settings, replace(head, fingerprint=arguments.fingerprint))
    print(*found.notes, *found.faults, sep="\n", end="\n" if found.notes or found.faults else "", file=sys.stderr)
    if found.faults:
        return 1
    print(f"The book is whole. Its last entry is {found.head_seq}, SHA-256 {found.head_digest}.")
    if found.fingerprint:
        print(f"The site's key is {found.fingerprint}; {found.heads} heads of the chain are signed.")
    return 0


def _form_of(target: Path) -> Form:
    """Tell the form from the ending."""
    try:
        return Form(target.suffix.removeprefix(".").lower())
    except ValueError:
        raise WearbookError(f"{target}: the ending is one of {', '.join(f'.{form}' for form in Form)}.") from None


def _wanted(book: Book, arguments: argparse.Namespace) -> Wanted:
    """Read what is wanted."""
    if arguments.overhaul is None:
        return Wanted(arguments.machine)
    if not arguments.machine:
        raise WearbookError("--overhaul needs --machine: each machine numbers its own.")
    return wanted_overhaul(book, arguments.machine, arguments.overhaul)
