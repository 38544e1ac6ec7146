"""Decimals kept as text, so that every digit comes back as it was written."""

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
        return None if value is None else Decimal(value)
