"""The limit sheet's file: TOML in, a whole limit sheet out, or every fault of it at once and nothing half read."""

import re
import tomllib
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache
from itertools import pairwise

from app.domain.limits import LimitSheet, Rule, Stage
from app.domain.numbers import Length
from app.domain.order_lines import AlwaysRenewed, OrderLine
from app.domain.sheet_closing import read_closing
from app.domain.sheet_copies import read_copies
from app.domain.sheet_faults import Fault, Ledger, SheetRefused, WrittenNumber
from app.domain.sheet_judging import read_instruments, read_judging
from app.domain.sheet_lines import Path, lines_by_path, too_deep_line
from app.domain.sheet_mates import parts_from
from app.domain.sheet_orders import MOST_QUANTITY, read_delivery
from app.domain.sheet_parts import StageFrame
from app.domain.sheet_proving import read_proving, read_running
from app.domain.sheet_sets import read_sets
from app.domain.sheet_table import LONGEST_NOTE, Table
from app.domain.sheet_tasks import read_tasks
from app.domain.sheet_warnings import sheet_warnings
from app.domain.units import LengthUnit

__all__ = ["Fault", "SheetRefused", "faults_in", "read_sheet", "read_values", "sheet_warnings", "toml_values"]

LARGEST_BYTES = 1_000_000
MOST_STAGES, MOST_CYLINDERS = 8, 8
OPENING_INTERVALS_HOURS = (Decimal(1), Decimal(200_000))
MOST_LEAVES, MOST_ALWAYS = 100, 300
AT_LINE = re.compile(r"line ([0-9]+),")
SECOND_TIME = ("overwrite", "twice", "Duplicate", "redefine", "mutate")  # in the words of tomllib
DECIMAL_COMMA = re.compile(r"[0-9],[0-9]")


class When(StrEnum):
    """At which openings something is always renewed."""

    ANY = "any opening"
    RINGS = "rings"


@lru_cache(maxsize=64)
def read_sheet(text: str) -> LimitSheet:
    """Read a limit sheet, once for each text; SheetRefused holds everything that is wrong with the text."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    return read_values(toml_values(text), lines_by_path(text))


def read_values(values: dict[str, object], lines: dict[Path, int]) -> LimitSheet:
    """Read a limit sheet from tables; lines say where each stands in what they came from."""
    file = Table(values, Ledger(lines), (), LengthUnit.MM)
    sheet = _read(file)
    file.ledger.settle()
    return sheet


def faults_in(text: str) -> tuple[Fault, ...]:
    """Name everything that is wrong with a text, or not there yet; nothing where it is a whole limit sheet."""
    try:
        read_sheet(text)
    except SheetRefused as refusal:
        return refusal.faults
    return ()


def toml_values(text: str) -> dict[str, object]:
    """Read the text as TOML, decimals kept as the digits they are written with."""
    if len(text.encode("utf-8", "surrogatepass")) > LARGEST_BYTES:
        raise SheetRefused([Fault(None, "the file", f"a text of at most {LARGEST_BYTES} bytes, which any sheet is")])
    deep = too_deep_line(text)
    if deep is not None:
        raise SheetRefused([Fault(deep, "the file", "keys with a few dots at most")])
    try:
        return tomllib.loads(text, parse_float=WrittenNumber)
    except RecursionError:
        raise SheetRefused([Fault(None, "the file", "lists and tables with a few brackets at most")]) from None
    except tomllib.TOMLDecodeError as error:
        raise SheetRefused([_syntax_fault(text, str(error))]) from None
    except ValueError:
        raise SheetRefused([Fault(None, "the file", "numbers of a few digits each")]) from None


def _syntax_fault(text: str, message: str) -> Fault:
    """Put the TOML reader's refusal into a fault with its line."""
    lines = text.rstrip("\n").split("\n")
    words, _, place = message.rpartition(" (at ")
    at_line = AT_LINE.match(place)
    number = int(at_line[1]) if at_line else len(lines)
    if any(sign in words for sign in SECOND_TIME):
        return Fault(number, "the file", "each key and each table once; found one a second time")
    hint = " Decimals are written with a point." if DECIMAL_COMMA.search("".join(lines[number - 1 : number])) else ""
    return Fault(number, "the file", f"a line of TOML, such as upper = 1.10; the reader says: {words}.{hint}")


def _read(file: Table) -> LimitSheet:
    """Read all tables of the file."""
    head = file.table("sheet")
    file.unit = head.unit = head.choice("unit", tuple(LengthUnit))
    document, page = _source(head)
    stages = _stages(file, page)
    rule = head.choice("rule", tuple(Rule), Rule.SIMPLE)
    judging = read_judging(head, rule)
    sheet = LimitSheet(
        name=head.text("name"),
        revision=head.text("revision"),
        machine_type=head.text("machine_type"),
        approver=head.text("approver"),
        document=document,
        page=page,
        rule=rule,
        unit=head.unit,
        stages=stages,
        always=tuple(_always(each, len(stages)) for each in file.tables("always", MOST_ALWAYS)),
        leaves=_leaves(head),
        note=head.text("note", "", LONGEST_NOTE),
        instruments=read_instruments(head),
        temperature_spread_k=judging.temperature_spread_k,
        is_corrected_to_20=judging.is_corrected_to_20,
        guard=judging.guard,
        tasks=read_tasks(file, len(stages)),
        opening_interval_hours=head.number("opening_interval", OPENING_INTERVALS_HOURS, "operating hours"),
        proving=read_proving(file),
    )
    head.close()
    file.close()
    return sheet


def _source(head: Table) -> tuple[str, str]:
    """Read the document and the page that the sheet was taken from."""
    source = head.table("source", is_needed=not head.is_absent)
    document, page = source.text("document"), source.text("page")
    source.close()
    return document, page


def _leaves(head: Table) -> tuple[Length, ...]:
    """Read the leaves of the feeler set, thinnest first."""
    feelers = head.table("feelers", is_needed=False)
    leaves = feelers.sizes("leaves", MOST_LEAVES)
    read = [leaf.mm for leaf in leaves if leaf.value]
    if any(thicker <= thinner for thinner, thicker in pairwise(read)):
        feelers.refuse("leaves", "each leaf once, thinnest first")
    feelers.close()
    return leaves


def _stages(file: Table, source: str) -> tuple[Stage, ...]:
    """Read the stages, numbered from 1 in the order of compression."""
    tables = file.tables("stage", MOST_STAGES)
    if file.values.get("stage", []) == []:
        file.refuse("stage", "at least one table [[stage]]")
    return tuple(_stage(table, number, source) for number, table in enumerate(tables, start=1))


def _stage(table: Table, number: int, source: str) -> Stage:
    """Read one stage."""
    written = table.whole("number", 1, MOST_STAGES)
    if table.is_sound and written != number:
        table.refuse("number", f"{number}, as the stages stand in order from 1; found {written}")
    bore, stroke = table.size("bore"), table.optional_size("stroke")
    frame = StageFrame(number, bore, stroke, table.whole("cylinders", 1, MOST_CYLINDERS, 1), source)
    copies = read_copies(table, frame)
    if table.values.get("part", []) == []:
        table.refuse("part", "at least one table [[stage.part]]")
    sets, running, closing = read_sets(table, number, copies), read_running(table), read_closing(table)
    table.close()
    return Stage(number, bore, stroke, frame.cylinders, parts_from(copies, frame.cylinders), sets, running, closing)


def _always(table: Table, stages: int) -> AlwaysRenewed:
    """Read one thing that is renewed whatever the readings say."""
    line = OrderLine(
        renews="",
        name=table.text("name"),
        number=table.text("number"),
        quantity=table.whole("quantity", 1, MOST_QUANTITY, 1),
        kit=table.text("kit", ""),
        delivery_days=read_delivery(table),
    )
    stage = table.whole("stage", 1, max(stages, 1)) if table.has("stage") else None
    when = table.choice("when", tuple(When), When.ANY)
    table.close()
    return AlwaysRenewed(line, stage, when is When.RINGS)
