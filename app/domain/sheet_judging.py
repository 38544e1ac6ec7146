"""How a limit sheet's file wants readings judged: temperature, guard, and what its instruments are good for."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from app.domain.guard import Guard
from app.domain.limits import InstrumentClass, Method, Rule
from app.domain.sheet_table import Table, repeated

EXPANSIONS_PER_K = (Decimal("1e-6"), Decimal("100e-6"))
SPREADS_K = (Decimal(0), Decimal(50))
FIGURES = ("resolution", "permissible_error", "repeatability", "expansion")


class Temperature(StrEnum):
    """At which temperature sizes are judged."""

    AS_READ = "as read"
    CORRECTED = "corrected to 20 C"


@dataclass(frozen=True)
class Judging:
    """What a sheet says about judging beside its rule."""

    is_corrected_to_20: bool
    temperature_spread_k: Decimal
    guard: Guard


def read_judging(head: Table, rule: Rule) -> Judging:
    """Read the table of judging; without one, sizes are judged as read."""
    table = head.table("judging", is_needed=False)
    judging = Judging(
        table.choice("temperature", tuple(Temperature), Temperature.AS_READ) is Temperature.CORRECTED,
        table.number("temperature_spread", SPREADS_K, "kelvin") or Decimal(0),
        table.choice("guard", tuple(Guard), Guard.ISO_14253),
    )
    if rule is Rule.SIMPLE:
        table.only_for("only a sheet with the guarded rule", "guard")
    table.close()
    return judging


def read_instruments(head: Table) -> tuple[InstrumentClass, ...]:
    """Read what is known of the instruments of each method."""
    instruments = tuple(_read_instrument(table) for table in head.tables("instrument", len(Method)))
    for method in repeated([instrument.method for instrument in instruments]):
        head.refuse("instrument", f"one for each method; found “{method}” twice")
    return instruments


def _read_instrument(table: Table) -> InstrumentClass:
    """Read what is known of the instruments of one method."""
    instrument = InstrumentClass(
        method=table.choice("method", tuple(Method)),
        resolution=table.optional_size("resolution"),
        permissible_error=table.optional_size("permissible_error"),
        repeatability=table.optional_size("repeatability"),
        expansion_per_k=table.number("expansion", EXPANSIONS_PER_K, "1/K, such as 11.5e-6"),
    )
    if not any(table.has(key) for key in FIGURES):
        table.refuse("", f"at least one of {', '.join(FIGURES)}; found none")
    table.close()
    return instrument
