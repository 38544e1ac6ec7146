"""Decimals kept as text, so that every digit comes back as it was written."""

from collections.abc import Callable
from decimal import Decimal

from sqlalchemy import Dialect, Text
from sqlalchemy.types import TypeDecorator


class DecimalText(TypeDecorator[Decimal]):
    """A decimal column; a database's own numbers would come back as 120.1200000000 or as a float."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, _dialect: Dialect) -> str | None:
        """Write the digits; a float is refused, since it has already lost them."""
        if value is None:
            return None
        if not isinstance(value, Decimal):
            raise TypeError(f"a decimal belongs here, not {value!r}")
        return str(value)

    def process_result_value(self, value: str | None, _dialect: Dialect) -> Decimal | None:
        """Read the digits back."""
        return _read(value)

    def result_processor(self, _dialect: Dialect, _coltype: object) -> Callable[[str | None], Decimal | None]:
        """Read them without a detour: a reading has five such columns, most of them empty."""
        return _read


def _read(value: str | None) -> Decimal | None:
    """Read the digits of a cell."""
    return None if value is None else Decimal(value)
