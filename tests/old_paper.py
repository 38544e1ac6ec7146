"""Old paper for the tests: tables of readings of a limit sheet, as long as a test wants them."""

import csv
import json
import random
from collections.abc import Iterator
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

from app.actions.reading_file import COLUMNS
from app.actions.rejudging import Tally, rejudge
from app.domain.limits import Characteristic, LimitSheet, Method, Part
from app.domain.readings import Place
from app.domain.sheet_file import read_sheet
from app.reports.verdict_files import CSV_NAME, JSON_NAME, REFUSED_NAME, Format
from tests.builders import NOW, a_sheet_text

Cells = dict[str, str]


@dataclass(frozen=True)
class Run:
    """What a re-judging left in its folder."""

    folder: Path
    tally: Tally

    @property
    def document(self) -> dict[str, Any]:
        """The JSON."""
        document: dict[str, Any] = json.loads((self.folder / JSON_NAME).read_text(encoding="utf-8"))
        return document

    @property
    def openings(self) -> list[dict[str, Any]]:
        """The openings of the JSON."""
        openings: list[dict[str, Any]] = self.document["openings"]
        return openings

    def part(self, ref: str, opening: int = 0) -> dict[str, Any]:
        """One part of an opening."""
        return next(part for part in self.openings[opening]["parts"] if part["part"] == ref)

    def table(self, name: str = CSV_NAME) -> list[Cells]:
        """A table, row by row."""
        with (self.folder / name).open(encoding="utf-8-sig", newline="") as file:
            return list(csv.DictReader(file))

    @property
    def refused(self) -> list[Cells]:
        """The table of entries that do not count."""
        return self.table(REFUSED_NAME)


def a_sheet() -> LimitSheet:
    """The sheet of GA-1."""
    return read_sheet(a_sheet_text())


def rejudged(folder: Path, text: str, encoding: str = "utf-8", form: Format = Format.BOTH) -> Run:
    """Re-judge the text of a file by the sheet of GA-1."""
    path = a_file(folder, text, encoding)
    return Run(folder / "out", rejudge(a_sheet(), path, folder / "out", form, NOW, lambda _: None))


def a_row(part: str, characteristic: str, **cells: str) -> Cells:
    """One row of opening 7 of GA-1; cells: any other column."""
    head = {"overhaul": "7", "machine": "GA-1", "hours": "9350", "part": part, "characteristic": characteristic}
    return head | cells


def good_rows(sheet: LimitSheet, *stages: int, **cells: str) -> list[Cells]:
    """A sound row in the range of a new part for every place of these stages."""
    parts = [part for part in sheet.parts if part.stage in stages]
    return [_new(part, place) | cells for part in parts for place in part.required]


def _new(part: Part, place: Place) -> Cells:
    """A row as of a new part."""
    row = a_row(place.part, place.characteristic, level=place.level, axis=place.axis)
    gauged = part.characteristic(place.characteristic)
    if gauged is None or gauged.new is None:
        return row | {"findings": "sound"}
    lower, upper = gauged.new.lower.typed, gauged.new.upper.typed
    return row | ({"goes": lower, "does_not_go": upper} if gauged.method is Method.FEELER else {"value": lower})


def a_table(rows: list[Cells], separator: str = ",", columns: tuple[str, ...] = COLUMNS) -> str:
    """Rows as the text of a file."""
    text = StringIO()
    table = csv.DictWriter(text, columns, restval="", delimiter=separator, lineterminator="\r\n")
    table.writeheader()
    table.writerows(rows)
    return text.getvalue()


def a_file(folder: Path, text: str, encoding: str = "utf-8") -> Path:
    """A text as a file."""
    path = folder / "readings.csv"
    path.write_bytes(text.encode(encoding))
    return path


def write_years(path: Path, sheet: LimitSheet, row_count: int) -> None:
    """A file of many openings of worn machines; the wear is drawn by chance, the same chance every time."""
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, COLUMNS, restval="")
        table.writeheader()
        table.writerows(row for _, row in zip(range(row_count), _years(sheet), strict=False))


def _years(sheet: LimitSheet) -> Iterator[Cells]:
    """Every place, opening after opening, without end."""
    chance, number = random.Random(7), 0
    while True:
        number += 1
        head = {"overhaul": str(number), "machine": "GA-1", "hours": str(1000 + 50 * number), "date": "1999-03-02"}
        for part in sheet.parts:
            for place in part.required:
                row = a_row(place.part, place.characteristic, level=place.level, axis=place.axis)
                yield row | head | _worn(chance, part.characteristic(place.characteristic))


def _worn(chance: random.Random, gauged: Characteristic | None) -> Cells:
    """What is read at a place: mostly within the limit, now and then beyond it."""
    if gauged is None or gauged.new is None:
        return {"findings": "sound"}
    # Wear goes towards the limit, up or down, and a little beyond it.
    new_mm = float(gauged.new.upper.mm)
    limit_mm = next((float(limit.size.mm) for limit in gauged.limits if limit.measure == "value"), new_mm + 0.1)
    worn_mm = new_mm + (limit_mm - new_mm) * chance.uniform(0, 1.05)
    if gauged.method is not Method.FEELER:
        return {"value": f"{worn_mm:.2f}", "unit": "mm"}
    leaves = round(worn_mm * 20)
    return {"goes": f"{leaves / 20:.2f}", "does_not_go": f"{(leaves + 1) / 20:.2f}", "unit": "mm"}
