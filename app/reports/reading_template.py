"""The empty table of readings of a limit sheet: its columns, and one row a place, to be filled from old paper."""

import csv
from collections.abc import Iterator, Sequence
from typing import TextIO

from app.domain.limits import LimitSheet, Part
from app.domain.overhaul import required_places
from app.domain.readings import Occasion, Place


def write_template(sheet: LimitSheet, columns: Sequence[str], file: TextIO) -> None:
    """Write the columns and one empty row for each place of the sheet, in the order of gauging."""
    table = csv.DictWriter(file, columns, restval="", lineterminator="\n")
    table.writeheader()
    table.writerows(_rows(sheet))


def _rows(sheet: LimitSheet) -> Iterator[dict[str, str]]:
    """Give the row of every place."""
    for part in sheet.parts:
        for place in required_places(part):
            yield _row(part, place)


def _row(part: Part, place: Place) -> dict[str, str]:
    """Give the row of one place, filled as far as the sheet knows."""
    characteristic = part.characteristic(place.characteristic)
    return {
        "occasion": Occasion.AS_FOUND.value,
        "part": place.part,
        "characteristic": place.characteristic,
        "level": place.level,
        "axis": place.axis,
        "unit": characteristic.unit.value if characteristic else "",
    }
