"""The files of a re-judging, written opening by opening; they bear their names only when all of them are whole."""

import csv
import json
import os
import re
from collections.abc import Iterable, Mapping
from contextlib import ExitStack, suppress
from enum import StrEnum
from pathlib import Path
from types import TracebackType
from typing import Self, TextIO

from app.domain.errors import WearbookError
from app.domain.limits import LimitSheet
from app.reports.verdict_rows import (
    REFUSED_COLUMNS,
    VERDICT_COLUMNS,
    RejudgedOpening,
    SetAside,
    opening_document,
    opening_rows,
)

UNFINISHED = ".part"
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
SIGNED_NUMBER = re.compile(r"[+-][0-9]+(?:[.,][0-9]+)?")
JSON_NAME, CSV_NAME, REFUSED_NAME = "verdicts.json", "verdicts.csv", "refused.csv"


class Format(StrEnum):
    """In which form the verdicts are written."""

    JSON = "json"
    CSV = "csv"
    BOTH = "both"


class FolderRefused(WearbookError):
    """The folder cannot take the files; nothing in it was touched."""


class VerdictFiles:
    """The files being written into a folder; used in a with statement, at whose end they get their names."""

    def __init__(self, folder: Path, sheet: LimitSheet, form: Format) -> None:
        self.folder = folder
        self.sheet = sheet
        self.names = {
            Format.JSON: (REFUSED_NAME, JSON_NAME),
            Format.CSV: (REFUSED_NAME, CSV_NAME),
            Format.BOTH: (REFUSED_NAME, CSV_NAME, JSON_NAME),
        }[form]
        self.summary: Mapping[str, object] = {}
        self._files: dict[str, TextIO] = {}
        self._open = ExitStack()
        self._opening_count = 0
        self._is_new_folder = not folder.exists()

    def __enter__(self) -> Self:
        self._check()
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            for name in self.names:
                self._files[name] = self._open.enter_context(_new_file(self.folder / (name + UNFINISHED)))
        except OSError as error:
            self._throw_away()
            raise FolderRefused(f"{error.filename} cannot be written: {error.strerror}.") from None
        self._begin()
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        try:
            if kind is None:
                self._finish()
        except OSError as failure:
            error = failure
        if error is not None:
            self._throw_away()
        if isinstance(error, OSError):
            raise FolderRefused(
                f"{error.filename or self.folder} failed: {error.strerror}. Nothing was kept."
            ) from error

    def write_opening(self, opening: RejudgedOpening) -> None:
        """Write one opening."""
        if CSV_NAME in self._files:
            self._rows(CSV_NAME, opening_rows(opening))
        if JSON_NAME in self._files:
            between = ",\n" if self._opening_count else "\n"
            self._files[JSON_NAME].write(between + _json(opening_document(opening)))
        self._opening_count += 1

    def set_aside(self, entries: Iterable[SetAside]) -> None:
        """List entries that do not count, with their lines."""
        self._rows(
            REFUSED_NAME,
            (
                (one.line, one.what, one.overhaul, one.part, one.characteristic, one.column, one.typed, one.words)
                for one in entries
            ),
        )

    def _check(self) -> None:
        """Refuse a folder that holds results already: nothing is overwritten, and no two runs are mixed."""
        there = [name for name in (JSON_NAME, CSV_NAME, REFUSED_NAME) if (self.folder / name).exists()]
        if there:
            raise FolderRefused(f"{self.folder} holds {' and '.join(there)} already. Choose another folder.")

    def _begin(self) -> None:
        """Write what stands above the first opening."""
        self._rows(REFUSED_NAME, [REFUSED_COLUMNS])
        if CSV_NAME in self._files:
            self._rows(CSV_NAME, [VERDICT_COLUMNS])
        if JSON_NAME in self._files:
            head = {"sheet": _sheet_document(self.sheet), "rule": self.sheet.rule.value}
            self._files[JSON_NAME].write(f'{_json(head)[:-1]}, "openings": [')

    def _finish(self) -> None:
        """Write what stands below the last opening, then give the files their names."""
        if JSON_NAME in self._files:
            self._files[JSON_NAME].write(f'\n], "summary": {_json(self.summary)}}}\n')
        for file in self._files.values():
            file.flush()
            os.fsync(file.fileno())
        self._open.close()
        for name in self.names:
            (self.folder / (name + UNFINISHED)).rename(self.folder / name)

    def _throw_away(self) -> None:
        """Leave nothing of this run behind; a folder that was there before stays."""
        with suppress(OSError):
            self._open.close()
        for name in self._files:
            for path in (self.folder / (name + UNFINISHED), self.folder / name):
                with suppress(OSError):
                    path.unlink()
        if self._is_new_folder:
            with suppress(OSError):
                self.folder.rmdir()

    def _rows(self, name: str, rows: Iterable[Iterable[object]]) -> None:
        """Write rows of a table."""
        csv.writer(self._files[name], lineterminator="\r\n").writerows([spoken(cell) for cell in row] for row in rows)


def _new_file(path: Path) -> TextIO:
    """Make a new text file; tables carry the mark by which spreadsheets know UTF-8."""
    encoding = "utf-8" if JSON_NAME in path.name else "utf-8-sig"
    return path.open("x", encoding=encoding, newline="")


def _sheet_document(sheet: LimitSheet) -> dict[str, str]:
    """Give the sheet that was judged by."""
    return {
        "name": sheet.name,
        "revision": sheet.revision,
        "machine_type": sheet.machine_type,
        "approver": sheet.approver,
        "document": sheet.document,
        "page": sheet.page,
    }


def _json(content: Mapping[str, object]) -> str:
    """Write an object of the JSON on one line."""
    return json.dumps(content, ensure_ascii=False)


def spoken(cell: object) -> str:
    """Write a cell so that a spreadsheet shows it and never works it out as a formula.

    >>> spoken("=1+1"), spoken("-0.02"), spoken(7)
    ("'=1+1", '-0.02', '7')
    """
    text = str(cell)
    return f"'{text}" if text[:1] in FORMULA_SIGNS and not SIGNED_NUMBER.fullmatch(text) else text
