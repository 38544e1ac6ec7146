"""A domain function that computes says its formula, its units, its safe side, where it is valid, and its source."""

import ast

import pytest

from tests.house.docstring import SECTIONS, is_unit, promised, take_apart, takes
from tests.house.source import Written, functions

NUMBERS = ("Decimal", "float")
ARITHMETIC = (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.Pow)


def computing() -> list[Written]:
    """List the public domain functions that work out a number with a unit."""
    return [function for function in functions("app/domain") if computes(function) or "Parameters:" in docs(function)]


def computes(function: Written) -> bool:
    """Whether a public function gives a number, does arithmetic, and its names speak of a unit."""
    result = ast.unparse(function.tree.returns) if function.tree.returns else ""
    speaks_of_a_unit = any(promised(name) for name in (function.name, *takes(function.tree)))
    return (
        not function.name.startswith("_")
        and result.split(" | ")[0] in NUMBERS
        and speaks_of_a_unit
        and any(isinstance(n, ast.BinOp) and isinstance(n.op, ARITHMETIC) for n in ast.walk(function.tree))
    )


def docs(function: Written) -> str:
    """Give the docstring, or nothing."""
    return ast.get_docstring(function.tree) or ""


COMPUTING = [pytest.param(function, id=f"{function.path.stem}.{function.name}") for function in computing()]


@pytest.mark.parametrize("function", COMPUTING)
def test_docstring_has_every_section_and_an_example_that_runs(function: Written) -> None:
    expected = [s for s in SECTIONS if s != "Parameters:" or takes(function.tree)]

    missing = [section for section in (*expected, ">>> ") if section not in docs(function)]

    assert missing == [], f"{function.place} lacks {missing}"


@pytest.mark.parametrize("function", COMPUTING)
def test_docstring_names_the_parameters_of_the_signature_in_their_order(function: Written) -> None:
    documented = take_apart(docs(function)).parameters

    assert list(documented) == list(takes(function.tree)), function.place


@pytest.mark.parametrize("function", COMPUTING)
def test_docstring_gives_parameters_and_result_units_that_exist(function: Written) -> None:
    documented = take_apart(docs(function))

    unknown = [unit for unit in (*documented.parameters.values(), *documented.returned_units) if not is_unit(unit)]

    assert documented.returned_units, f"{function.place}: Returns has no [unit]"
    assert unknown == [], function.place


@pytest.mark.parametrize("function", COMPUTING)
def test_unit_in_a_name_is_the_unit_in_the_docstring(function: Written) -> None:
    documented = take_apart(docs(function))

    broken = [name for name, unit in documented.parameters.items() if promised(name) and unit not in promised(name)]
    result = () if function.name.startswith("from_") else promised(function.name)

    assert broken == [], function.place
    assert not result or set(result) & set(documented.returned_units), f"{function.place} returns another unit"


@pytest.mark.parametrize("function", COMPUTING)
def test_sources_are_numbered(function: Written) -> None:
    sources = take_apart(docs(function)).sections.get("Sources:", "").strip().splitlines()

    assert sources, function.place
    assert sources[0].startswith("1. "), function.place


def test_functions_that_compute_are_found() -> None:
    names = {function.name for function in computing()}

    assert {"to_mm", "margin_mm", "gap_growth_mm", "ovality_mm", "student_t_quantile"} <= names


@pytest.mark.parametrize("unit", ["mm", "mm, mm/h", "mm or in", "mm per 1000 h", "1/K", "degC", "-"])
def test_unit_of_the_trade_is_known(unit: str) -> None:
    assert is_unit(unit)


@pytest.mark.parametrize("unit", ["milimetre", "mm, furlogs", ""])
def test_unit_that_does_not_exist_is_not_known(unit: str) -> None:
    assert not is_unit(unit)
