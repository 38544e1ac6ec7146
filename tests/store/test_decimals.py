"""Tests of decimals in the database: the digits come back as written."""

from decimal import Decimal

import pytest
from sqlalchemy import Column, MetaData, Table, create_engine, insert, select
from sqlalchemy.exc import StatementError

from app.store.decimals import DecimalText

FIGURES = Table("figures", MetaData(), Column("figure", DecimalText))


@pytest.mark.parametrize("digits", ["120.12", "0.70", "0.7", "-0.05", "1E+3", "0.000001", "10300.50"])
def test_decimal_comes_back_with_the_digits_it_was_written_with(digits: str) -> None:
    kept = _there_and_back(Decimal(digits))

    assert kept == Decimal(digits)
    assert str(kept) == digits


def test_missing_decimal_comes_back_missing() -> None:
    assert _there_and_back(None) is None


def test_float_is_refused_since_it_has_lost_its_digits() -> None:
    with pytest.raises(StatementError, match="a decimal belongs here"):
        _there_and_back(0.1)


def _there_and_back(figure: object) -> Decimal | None:
    engine = create_engine("sqlite://")
    try:
        with engine.begin() as connection:
            FIGURES.metadata.create_all(connection)
            connection.execute(insert(FIGURES), {"figure": figure})
            kept: Decimal | None = connection.execute(select(FIGURES.c.figure)).scalar_one()
            return kept
    finally:
        engine.dispose()
