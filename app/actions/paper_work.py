"""What the rows of old paper say was done with a part: reused, reworked or renewed, and what went in."""

from dataclasses import dataclass

from app.actions.paper_entries import plain
from app.actions.reading_file import WORK, Row
from app.domain.errors import InputRefused, NumberRefused, UnitMismatch
from app.domain.limits import LimitSheet, Part
from app.domain.numbers import Length, parse_length
from app.domain.sheet_faults import listed
from app.domain.verdicts import Verdict

DONE = {"reused": Verdict.REUSE, "reworked": Verdict.REWORK, "renewed": Verdict.RENEW}
LONGEST_VALUE = 120


@dataclass(frozen=True)
class Work:
    """What was done with a part, as a row says it."""

    line: int
    verdict: Verdict
    number: str = ""
    batch: str = ""
    made_to: Length | None = None

    @property
    def is_fitted(self) -> bool:
        """Whether something went in, or was made to another size."""
        return self.verdict is Verdict.RENEW or self.made_to is not None


def work_in(row: Row, part: Part, sheet: LimitSheet) -> Work | None:
    """Read what a row says was done, or name every column that is not as it should be."""
    cells = {column: row.cells[column] for column in WORK}
    if not any(cells.values()):
        return None
    refused = {
        column: f"At most {LONGEST_VALUE} characters."
        for column in ("part_number", "batch")
        if len(cells[column]) > LONGEST_VALUE
    }
    verdict = DONE.get(plain(cells["done"]))
    if verdict is None:
        refused["done"] = f"Write what was done with the part: {listed(tuple(DONE))}."
    strange = [column for column in ("part_number", "batch") if cells[column] and verdict is not Verdict.RENEW]
    refused |= dict.fromkeys(strange, "This belongs to a part that was renewed.") if verdict else {}
    made_to = _made_to(cells["made_to"], part, sheet, refused) if verdict else None
    if made_to and verdict is Verdict.REUSE:
        refused["made_to"] = "A part that was reused was not made to a size."
    if refused or verdict is None:
        raise InputRefused(refused)
    return Work(row.line, verdict, cells["part_number"], cells["batch"], made_to)


def _made_to(typed: str, part: Part, sheet: LimitSheet, refused: dict[str, str]) -> Length | None:
    """Read the size a bore was made to; wear counts from it, so it has to be possible."""
    if not typed:
        return None
    bore = next((each for each in part.characteristics if each.base_size is not None), None)
    if bore is None:
        refused["made_to"] = "Only a bore is made to a size: leave this empty."
        return None
    try:
        size = parse_length(typed, sheet.unit)
    except (NumberRefused, UnitMismatch) as refusal:
        refused["made_to"] = str(refusal)
        return None
    lowest_mm, highest_mm = bore.possible_mm
    if not lowest_mm <= size.mm <= highest_mm:
        refused["made_to"] = f"{size.typed} cannot be: this bore is {bore.base_size.typed if bore.base_size else ''}."
    return size
