"""What is ordered: for a renewed part, for an oversize, and at every opening."""

from dataclasses import dataclass

from app.domain.numbers import Length


@dataclass(frozen=True)
class OrderLine:
    """What is ordered when a part, or an object of it, is renewed."""

    renews: str
    name: str
    number: str
    quantity: int = 1
    kit: str = ""
    delivery_days: int | None = None  # from order to store, where the sheet says it


@dataclass(frozen=True)
class Oversize:
    """A size beyond its own that a bore may be made to, with the parts made for it."""

    size: Length
    orders: tuple[OrderLine, ...] = ()


@dataclass(frozen=True)
class AlwaysRenewed:
    """Something renewed at every opening of its kind, whatever the readings say."""

    order: OrderLine
    stage: int | None
    rings_only: bool
