"""A limit sheet as a table, one row a limit: read whole into a draft, or refused with every line and column."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import cast

from app.actions.table_file import Lines
from app.domain.draft_values import BOUNDS, Values, bound_of, ends, shown, tables, written
from app.domain.sheet_faults import Fault, SheetRefused, nearest
from app.domain.sheet_file import read_values
from app.domain.sheet_lines import Path, line_of
from app.domain.sheet_skeleton import TO_FILL_IN

# Column by column: which key of which table it is. What is left empty below is as in the row above.
STAGE = {"bore": "bore", "stroke": "stroke", "cylinders": "cylinders"}
PART = {
    "part_name": "name", "kind": "kind", "count": "count", "port": "port", "construction": "construction",
    "joint": "joint", "material": "material", "judge_again_after": "judge_again_after",
}  # fmt: skip
GAUGED = {
    "characteristic_name": "name", "method": "method", "unit": "unit", "levels": "levels", "axes": "axes",
    "where": "where", "between": "between",
}  # fmt: skip
LIMIT = {
    "measure": "measure",
    "on_limit": "on_limit",
    "outcome": "outcome",
    "renews": "renews",
    "action": "action",
    "at_most": "at_most",
    "source": "source",
}
KEYS = ("stage", "part", "characteristic")
RANGE = ("new_lower", "new_upper")
BOUND, VALUE = "limit_kind", "limit_value"
COLUMNS = (
    "stage", *STAGE, "part", *PART, "characteristic", *GAUGED, *RANGE, BOUND, VALUE, *LIMIT,
)  # fmt: skip
NEEDED = ("stage", "part", "kind", "characteristic", BOUND, VALUE)
NUMBERS = ("bore", "stroke", "cylinders", "count", "at_most")
LISTS = ("levels", "axes", "between", "judge_again_after")
MAY_BE_MISSING = (*BOUNDS, "bore")
MOST_FAULTS = 100


def values_from(lines: Lines, head: Values) -> Values:
    """Read a table into the tables of a sheet; SheetRefused names every bad cell by its line and column."""
    reading = _Reading({"sheet": head})
    columns = _columns(lines[0])
    for line, cells in lines[1:]:
        reading.take(line, _row(line, columns, cells, reading.faults))
    faults = [*reading.faults, *_judged(reading)]
    if faults:
        raise SheetRefused(faults[:MOST_FAULTS])
    return reading.values


def _columns(heading: tuple[int, list[str]]) -> list[str]:
    """Read the names of the columns; capitals, spaces and hyphens do not count."""
    line, cells = heading
    names = ["_".join(cell.lower().replace("-", " ").split()) for cell in cells]
    faults = [
        Fault(line, f"column {place}", f"no column “{name[:40]}”; {nearest(name, COLUMNS)}")
        for place, name in enumerate(names, start=1)
        if name and name not in COLUMNS
    ]
    twice = sorted({name for name in names if name and names.count(name) > 1})
    faults += [Fault(line, f"column {name}", "this column once") for name in twice]
    faults += [Fault(line, f"column {name}", "this column, which is missing") for name in NEEDED if name not in names]
    if faults:
        raise SheetRefused(faults)
    return names


def _row(line: int, columns: list[str], cells: list[str], faults: list[Fault]) -> dict[str, str]:
    """Put the cells of a row under their columns."""
    if any(cells[len(columns) :]):
        faults.append(
            Fault(line, "the row", "no more cells than the heading has; a decimal comma stands in quotation marks")
        )
    return {name: cell for name, cell in zip(columns, cells, strict=False) if name and cell}


@dataclass
class _Reading:
    """A table while it is read: the tables so far, on which line each began, and what is wrong."""

    values: Values
    lines: dict[Path, int] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    at: list[tuple[Values, Path]] = field(default_factory=list)

    def take(self, line: int, row: dict[str, str]) -> None:
        """Take one row in."""
        depth = next((depth for depth, key in enumerate(KEYS) if key in row), None)
        if depth is None and not self.at:
            self.faults.append(Fault(line, "column stage", "the number of the stage"))
            return
        if not self._enter(line, row):
            return
        for (table, path), columns in zip(self.at, (STAGE, PART, GAUGED), strict=False):
            self._put(line, table, path, columns, row)
        if len(self.at) == len(KEYS):
            self._put_range(line, row)
            self._put_limit(line, row)
        elif any(name in row for name in (*GAUGED, *RANGE, BOUND, VALUE)):
            self.faults.append(Fault(line, "column characteristic", "the key of what is gauged, such as closed-gap"))

    def _enter(self, line: int, row: dict[str, str]) -> bool:
        """Go to the stage, the part and the characteristic that a row belongs to; a name above begins anew below."""
        for depth, (key, own) in enumerate(zip(KEYS, ("number", "key", "key"), strict=True)):
            if key not in row:
                continue
            if len(self.at) < depth:
                self.faults.append(Fault(line, f"column {KEYS[depth - 1]}", f"the {KEYS[depth - 1]} it belongs to"))
                return False
            around, path = self.at[depth - 1] if depth else (self.values, ())
            value = written(row[key]) if key == "stage" else row[key]
            self.at[depth:] = [self._found(line, around, (*path, key), own, value)]
        return True

    def _found(self, line: int, around: Values, path: Path, own: str, value: object) -> tuple[Values, Path]:
        """Find a table by its key in the list around it, or begin it."""
        key = str(path[-1])
        listed: list[Values] = cast("list[Values]", around.setdefault(key, []))
        place = next((place for place, each in enumerate(listed) if each[own] == value), len(listed))
        if place == len(listed):
            listed.append({own: value})
            self.lines[(*path, place)] = line
        return listed[place], (*path, place)

    def _put(self, line: int, table: Values, path: Path, columns: dict[str, str], row: dict[str, str]) -> None:
        """Put the cells of a row into a table; what was said before is not said otherwise."""
        for column, key in columns.items():
            if column not in row:
                continue
            value = _value(column, row[column])
            if table.setdefault(key, value) != value:
                before = f"as on line {self.lines[(*path, key)]}, “{shown(table[key])[:40]}”, or nothing"
                self.faults.append(Fault(line, f"column {column}", before))
            self.lines.setdefault((*path, key), line)

    def _put_range(self, line: int, row: dict[str, str]) -> None:
        """Put the new range in."""
        gauged, path = self.at[-1]
        if any(name in row for name in RANGE):
            gauged["new"] = [written(row.get(name, TO_FILL_IN)) for name in RANGE]
            self.lines[(*path, "new")] = line

    def _put_limit(self, line: int, row: dict[str, str]) -> None:
        """Put one limit in; its value may be left to be filled in, its kind may not."""
        gauged, path = self.at[-1]
        if BOUND not in row and VALUE not in row:
            return
        if row.get(BOUND) not in BOUNDS:
            kinds = ", ".join(BOUNDS)
            self.faults.append(Fault(line, f"column {BOUND}", f"one of {kinds}; found “{row.get(BOUND, '')[:40]}”"))
            return
        limits = cast("list[Values]", gauged.setdefault("limit", []))
        limit = {LIMIT[name]: _value(name, row[name]) for name in LIMIT if name in row}
        limits.append({**limit, row[BOUND]: written(row.get(VALUE, TO_FILL_IN))})
        self.lines[(*path, "limit", len(limits) - 1)] = line


def _value(column: str, cell: str) -> object:
    """Give what a cell is in the file."""
    if column in LISTS:
        return [word.strip() for word in cell.replace(";", ",").split(",") if word.strip()]
    return written(cell) if column in NUMBERS else cell


def _judged(reading: _Reading) -> Iterator[Fault]:
    """Let the reader of every sheet judge the tables, and say its faults by line and column."""
    try:
        read_values(reading.values, reading.lines)
    except SheetRefused as refusal:
        for fault in refusal.faults:
            is_left_open = fault.is_missing and fault.path[-1:] and fault.path[-1] in MAY_BE_MISSING
            is_followed = fault.path == ("stage",) and reading.faults  # its rows were refused already
            if fault.path[:1] != ("sheet",) and not is_left_open and not is_followed:
                expected = "a value; the cell is empty" if fault.is_missing else fault.expected
                yield Fault(line_of(reading.lines, fault.path), f"column {_column(fault.path)}", expected)


def _column(path: Path) -> str:
    """Name the column that a place in the tables was read from."""
    words = [word for word in path if isinstance(word, str)]
    listed, key = ([*words, ""])[-2:] if words and words[-1] in (*KEYS, "limit") else (["", *words])[-2:]
    if not key:
        return VALUE if listed == "limit" else listed
    if key in ("number", "key"):
        return listed
    table = {"stage": STAGE, "part": PART, "characteristic": GAUGED, "limit": LIMIT}.get(listed, {})
    known = {"new": RANGE[0]} | dict.fromkeys(BOUNDS, VALUE) | {own: column for column, own in table.items()}
    return known.get(key, key)


def rows_from(values: Values) -> Iterator[dict[str, str]]:
    """Write the tables of a sheet as rows, so that reading them gives the same parts, ranges and limits."""
    for stage in tables(values, "stage"):
        of_stage = {"stage": shown(stage.get("number"))}
        once = _cells(stage, STAGE)
        for part in tables(stage, "part"):
            of_part = of_stage | {"part": shown(part.get("key"))}
            rows = [of_part | gauged for gauged in _gauged_rows(part)] or [of_part]
            rows[0] |= once | _cells(part, PART)
            once = {}
            yield from rows


def _gauged_rows(part: Values) -> list[dict[str, str]]:
    """Write what is gauged on a part, a row for each limit."""
    found = []
    for gauged in tables(part, "characteristic"):
        of_it = {"characteristic": shown(gauged.get("key"))}
        limits = [{BOUND: bound_of(each), VALUE: shown(each.get(bound_of(each)))} | _cells(each, LIMIT)
                  for each in tables(gauged, "limit")] or [{}]  # fmt: skip
        new = dict(zip(RANGE, ends(gauged.get("new")), strict=True))
        limits[0] |= _cells(gauged, GAUGED) | {key: word for key, word in new.items() if word}
        found += [of_it | limit for limit in limits]
    return found


def _cells(values: Values, columns: dict[str, str]) -> dict[str, str]:
    """Write the keys of a table under their columns."""
    return {column: shown(values[key]) for column, key in columns.items() if key in values}
