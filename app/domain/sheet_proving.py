"""What a limit sheet's file says of the running machine, read and written."""

import re
from collections.abc import Iterator
from decimal import Decimal

from app.domain.running_limits import PressureUnit, Proving, Span, StageRunning
from app.domain.sheet_sizes import write_numbers
from app.domain.sheet_table import Table

ABSOLUTE = re.compile(r"(bar|psi)[ (]*a(bs(olute)?)?[ )]*", re.IGNORECASE)
PRESSURES = (Decimal(0), Decimal(10_000))
SPEEDS = (Decimal(50), Decimal(5000))
TEMPERATURES = (Decimal(0), Decimal(500))
VOLUMES = (Decimal("0.001"), Decimal(100_000))
SECONDS = (Decimal(1), Decimal(600))
SHARES = (Decimal("0.5"), Decimal(1))
CLEARANCES = (Decimal(0), Decimal("0.5"))


def read_proving(file: Table) -> Proving | None:
    """Read what the machine is proved against; None where the sheet has no such table."""
    if not file.has("proving"):
        return None
    table = file.table("proving")
    proving = Proving(
        unit=_unit(table),
        speed=table.number("speed", SPEEDS, "revolutions a minute"),
        free_air=table.number("free_air", VOLUMES, "rated free air a minute"),
        least_free_air=table.number("least_free_air", SHARES, "a share of the rated free air"),
        oil_pressure=_span(table, "oil_pressure", "an oil pressure"),
        oil_within_s=table.number("oil_within", SECONDS, "seconds"),
        volume=table.number("volume", VOLUMES, "a volume"),
    )
    table.close()
    return proving


def _unit(table: Table) -> PressureUnit:
    """Read the unit of pressures; one that counts from nothing is told apart, as every limit is a gauge's."""
    written = table.values.get("pressure_unit")
    if isinstance(written, str) and ABSOLUTE.fullmatch(written):
        table.has("pressure_unit")
        words = "bar or psi as a gauge shows it, which counts from the air around; take 1.013 bar or 14.7 psi off"
        table.refuse("pressure_unit", f"{words}; found “{written}”")
        return PressureUnit.BAR
    return table.choice("pressure_unit", tuple(PressureUnit), PressureUnit.BAR)


def read_running(stage: Table) -> StageRunning | None:
    """Read what one stage shows when running; None where the sheet does not say."""
    if not stage.has("running"):
        return None
    table = stage.table("running")
    running = StageRunning(
        _span(table, "gauge", "a gauge pressure"),
        table.number("delivery_temperature", TEMPERATURES, "degrees"),
        table.number("clearance", CLEARANCES, "a share of the swept volume"),
    )
    table.close()
    return running


def _span(table: Table, key: str, words: str) -> Span | None:
    """Read a lower and an upper end."""
    ends = table.numbers(key, 2, PRESSURES, words)
    if not ends:
        return None
    if ends[0] >= ends[1]:
        table.refuse(key, f"the lower end first; found {ends[0]} before {ends[1]}")
        return None
    return Span(*ends)


def write_proving(proving: Proving | None) -> Iterator[str]:
    """Write what the machine is proved against."""
    if proving is not None:
        yield from ("", "[proving]", f'pressure_unit = "{proving.unit}"')
        yield from write_numbers(
            speed=proving.speed, free_air=proving.free_air, least_free_air=proving.least_free_air,
            oil_within=proving.oil_within_s, volume=proving.volume,
        )  # fmt: skip
        yield from _ends(oil_pressure=proving.oil_pressure)


def write_running(running: StageRunning | None) -> Iterator[str]:
    """Write what one stage shows when running."""
    if running is not None:
        yield from ("", "[stage.running]", *_ends(gauge=running.gauge))
        yield from write_numbers(delivery_temperature=running.delivery_temperature, clearance=running.clearance)


def _ends(**spans: Span | None) -> list[str]:
    """Write the spans that are there."""
    return [f"{key} = [{span.lower:f}, {span.upper:f}]" for key, span in spans.items() if span is not None]
