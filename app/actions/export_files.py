"""Exports as files: CSV, workbook, JSON, and the bundle with its records, its manifest and its verifier."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from app.actions.exports import Export, Wanted, exporting, published_schema
from app.actions.record_pdf import record_pdf
from app.reports.bundle import README, VERIFIER, Bundle, verifier_source
from app.reports.export_files import csv_file, workbook
from app.reports.export_json import export_json
from app.store.book import Book


class Form(StrEnum):
    """In which form an export is written; the value is the ending of its file."""

    CSV = "csv"
    WORKBOOK = "xlsx"
    JSON = "json"
    BUNDLE = "zip"


@dataclass(frozen=True)
class Circumstances:
    """Who asks for an export, when, and how the site writes its records."""

    by: str
    now: datetime
    zone: str
    is_invented: bool


@dataclass(frozen=True)
class ExportFile:
    """An export ready to be sent: its name, and its bytes as they are made."""

    name: str
    content: Iterator[bytes]


def export_file(book: Book, wanted: Wanted, form: Form, around: Circumstances) -> ExportFile:
    """Open an export; what cannot be exported is refused here, before the first byte."""
    with exporting(book, wanted) as export:
        name = export.name
    return ExportFile(f"{name}.{form}", _written(book, wanted, form, around))


def _written(book: Book, wanted: Wanted, form: Form, around: Circumstances) -> Iterator[bytes]:
    """Write an export from one moment of the book."""
    with exporting(book, wanted) as export:
        match form:
            case Form.CSV:
                yield from csv_file("readings", export.overhauls(), around.zone)
            case Form.WORKBOOK:
                yield from workbook(export.overhauls, around.zone)
            case Form.JSON:
                yield from export_json(export.head(around.by, around.now), export.lists())
            case Form.BUNDLE:
                yield from _bundle(book, export, around)


def _bundle(book: Book, export: Export, around: Circumstances) -> Iterator[bytes]:
    """Write the bundle, one file after another."""
    bundle, head = Bundle(around.now), export.head(around.by, around.now)
    chain = "entry {seq}, SHA-256 {digest}".format(**head["head"])
    chain += f"\nsite's key {book.key.fingerprint}" if book.key else ""
    title = f"Export of {export.name}, made {head['made_at']} by {around.by}"
    yield from bundle.add("README.txt", [README.format(title=title, head=chain).encode()])
    yield from bundle.add("export.json", export_json(head, export.lists()))
    yield from bundle.add("schema.json", [json.dumps(published_schema(), indent=1).encode()])
    yield from bundle.add("readings.csv", csv_file("readings", export.overhauls(), around.zone))
    for number in export.overhaul_ids:
        record = record_pdf(book, number, around.zone, around.is_invented, around.now)
        yield from bundle.add(f"records/{record.name}", [record.content])
    for digest, picture in export.photos():
        yield from bundle.add(f"photos/{digest}.jpg", [picture])
    yield from bundle.add(VERIFIER, [verifier_source()])
    about = {name: head[name] for name in ("scope", "made_at", "made_by", "head")}
    yield from bundle.close(about, book.key.signature_over if book.key else None)
