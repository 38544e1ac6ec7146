"""Limits in a limit sheet's file: as a size, or as a share of the bore or stroke that is worked out here."""

from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal

from app.domain.limits import Limit, Measure, OnLimit, Side
from app.domain.numbers import Length
from app.domain.sheet_sizes import as_size
from app.domain.sheet_table import LONGEST_TEXT, Table
from app.domain.verdicts import Verdict

FINEST = Decimal("0.000001")
PER_BORE, PER_STROKE = "per_bore", "per_stroke"
SHARES = (PER_BORE, PER_STROKE)
BOUNDS = (Side.UPPER.value, Side.LOWER.value, *SHARES)


@dataclass(frozen=True)
class Around:
    """What a limit's table takes from the tables around it."""

    bore: Length
    stroke: Length | None
    is_grid: bool
    renews: str
    source: str


def share_of(share: Decimal, whole: Length) -> Decimal:
    """Work out a limit given as a share of a size.

    Formula: limit = share x whole, cut to six decimals

    Parameters:
        share [-]: the share, such as 0.00075.
        whole [mm or in]: the bore or stroke.

    Returns:
        the limit [mm or in], in the unit of the whole.

    Safe side: smaller, an upper limit is reached sooner; cut by less than 0.000001.
    Valid: for upper limits only.

    >>> from app.domain.numbers import inches
    >>> share_of(Decimal("0.00075"), inches("10.000"))
    Decimal('0.007500')

    Sources:
        1. Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 259.
    """
    return (share * whole.value).quantize(FINEST, rounding=ROUND_DOWN)


def read_limit(table: Table, around: Around) -> Limit:
    """Read one limit."""
    measure = table.choice("measure", tuple(Measure), Measure.VALUE)
    if measure is not Measure.VALUE and not around.is_grid:
        table.refuse("measure", f"levels and axes on the characteristic, from which the {measure} is worked out")
    side, size, basis = _bound(table, around)
    outcome = table.choice("outcome", (Verdict.RENEW, Verdict.REWORK), Verdict.RENEW)
    limit = Limit(
        measure=measure,
        side=side,
        size=size,
        on_limit=table.choice("on_limit", tuple(OnLimit), OnLimit.MUST_NOT_BE_EXCEEDED),
        outcome=outcome,
        renews=table.text("renews", around.renews) if outcome is Verdict.RENEW else "",
        action=table.text("action", ""),
        source=_source(table, around, basis),
    )
    if outcome is Verdict.REWORK:
        table.only_for("only a limit that leads to renew", "renews")
    table.close()
    return limit


def _source(table: Table, around: Around, basis: str) -> str:
    """Give where the limit stands in print, with how it was worked out."""
    source = ", ".join(word for word in (table.text("source", around.source), basis) if word)
    if len(source) > LONGEST_TEXT:
        table.refuse("source", f"a text of at most {LONGEST_TEXT - len(basis) - 2} signs beside the share")
    return source


def _bound(table: Table, around: Around) -> tuple[Side, Length, str]:
    """Read which way and how far the limit bounds, and how that was worked out if it was."""
    given = [key for key in BOUNDS if table.has(key)]
    if len(given) != 1:
        table.refuse("", f"one of {', '.join(BOUNDS)}; found {' and '.join(given) or 'none'}")
    key = given[0] if given else BOUNDS[0]
    if key in SHARES:
        return Side.UPPER, *_worked_out(table, key, around)
    table.only_for("only a limit with per_bore or per_stroke", "at_most")
    return Side(key), table.optional_size(key) or around.bore, ""


def _worked_out(table: Table, key: str, around: Around) -> tuple[Length, str]:
    """Work out a limit from its share, no higher than at_most."""
    share, most = table.share(key), table.optional_size("at_most")
    whole = around.bore if key == PER_BORE else around.stroke
    if whole is None:
        table.refuse(key, "a stroke on the stage, which the share is taken of")
        return around.bore, ""
    size = as_size(share_of(share, whole), whole.unit, table.unit)
    if size.value == 0 and whole.value:
        table.refuse(key, f"a share that gives at least {FINEST} {whole.unit}")
    words = f"{share} x {'bore' if key == PER_BORE else 'stroke'} {whole.typed}"
    if most is None:
        return size, words
    return min(size, most, key=lambda length: length.mm), f"{words}, at most {most.typed}"
