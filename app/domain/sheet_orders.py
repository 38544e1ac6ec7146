"""What is ordered in a limit sheet's file: when a part is renewed, and when a bore is made to an oversize."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from app.domain.findings import RING_SET, WHOLE_VALVE
from app.domain.limits import PartKind
from app.domain.numbers import Length
from app.domain.order_lines import OrderLine, Oversize
from app.domain.sheet_faults import found, listed
from app.domain.sheet_table import Table

MOST_QUANTITY, MOST_DAYS = 999, 1000
MOST_OVERSIZES, MOST_LINES = 12, 12
RENEWED = {
    PartKind.VALVE: WHOLE_VALVE,
    PartKind.CYLINDER: "cylinder",
    PartKind.RING: RING_SET,
    PartKind.PISTON: "piston",
    PartKind.PIN: "pin",
    PartKind.OTHER: "part",
}
MADE_OVERSIZE = (RING_SET, RENEWED[PartKind.PISTON])


@dataclass(frozen=True)
class Room:
    """Between which sizes a bore may be made to an oversize: its own, and the largest that can be gauged in it."""

    bore: Length
    largest_mm: Decimal


def read_order(table: Table, renews: str | None) -> OrderLine:
    """Read what is ordered when this is renewed; without a usual object the file has to name it."""
    line = OrderLine(
        renews=table.text("renews", renews),
        name=table.text("name"),
        number=table.text("number"),
        quantity=table.whole("quantity", 1, MOST_QUANTITY, 1),
        kit=table.text("kit", ""),
        delivery_days=read_delivery(table),
    )
    table.close()
    return line


def read_delivery(table: Table) -> int | None:
    """Read how many days pass from order to store; None where the file does not say."""
    return table.whole("delivery_days", 0, MOST_DAYS) if table.has("delivery_days") else None


def read_oversizes(table: Table, room: Room | None) -> tuple[Oversize, ...]:
    """Read the oversizes of a cylinder, smallest first; no other part has any."""
    if room is None:
        table.only_for("only a cylinder", "oversize")
        return ()
    oversizes = tuple(_read_oversize(each, room) for each in table.tables("oversize", MOST_OVERSIZES))
    if any(larger.size.mm <= smaller.size.mm for smaller, larger in pairwise(o for o in oversizes if o.size.value)):
        table.refuse("oversize", "each oversize once, smallest first")
    return oversizes


def _read_oversize(table: Table, room: Room) -> Oversize:
    """Read one oversize with the rings and the piston made for it."""
    size = table.size("size")
    if size.value and room.bore.value and not room.bore.mm < size.mm <= room.largest_mm:
        words = f"a size over the bore {room.bore.typed} and not over {room.largest_mm.normalize():f} mm"
        table.refuse("size", f"{words}, the largest that can be gauged in it; {found(size.typed)}")
    oversize = Oversize(size, tuple(_read_line(line) for line in table.tables("order", MOST_LINES)))
    table.close()
    return oversize


def _read_line(table: Table) -> OrderLine:
    """Read what is ordered for a bore of an oversize."""
    line = read_order(table, None)
    if line.renews and line.renews not in MADE_OVERSIZE:
        table.refuse("renews", f"one of {listed(MADE_OVERSIZE)}; {found(line.renews)}")
    return line
