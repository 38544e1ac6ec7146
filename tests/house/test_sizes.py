"""Nothing in the house grows past what one look takes in."""

import ast

import pytest

from tests.house.source import ROOT, Written, files, functions, is_handler

LONGEST_BODY = 40
LONGEST_HANDLER = 15
LONGEST_FILE = 300
LONGEST_TEMPLATE = 120
LONGEST_CONFTEST = 100


def test_function_bodies_stay_within_forty_lines() -> None:
    everywhere = [function for folder in ("app", "tests", "migrations") for function in functions(folder)]

    too_long = [f"{f.place}: {f.body_lines}" for f in everywhere if f.body_lines > LONGEST_BODY and not is_upgrade(f)]

    assert too_long == []


def test_handlers_stay_within_fifteen_lines() -> None:
    handlers = [function for function in functions("app/web") if is_handler(function.tree)]

    too_long = [
        f"{handler.place}: {handler.body_lines}" for handler in handlers if handler.body_lines > LONGEST_HANDLER
    ]

    assert handlers
    assert too_long == []


@pytest.mark.parametrize(
    ("pattern", "most"),
    [("*.py", LONGEST_FILE), ("*.css", LONGEST_FILE), ("*.js", LONGEST_FILE), ("*.html", LONGEST_TEMPLATE)],
)
def test_files_stay_within_their_limit(pattern: str, most: int) -> None:
    lines = {str(path.relative_to(ROOT)): len(path.read_text(encoding="utf-8").splitlines()) for path in files(pattern)}

    assert lines
    assert {path: count for path, count in lines.items() if count > most} == {}


def test_conftests_stay_within_a_hundred_lines() -> None:
    lines = {str(path): len(path.read_text(encoding="utf-8").splitlines()) for path in files("conftest.py")}

    assert lines
    assert {path: count for path, count in lines.items() if count > LONGEST_CONFTEST} == {}


def test_body_of_a_function_is_counted_without_its_docstring() -> None:
    tree = ast.parse('def f():\n    """One.\n\n    Two.\n    """\n    a = 1\n\n    return a\n').body[0]
    assert isinstance(tree, ast.FunctionDef)

    lines = Written(ROOT / "f.py", "f", tree).body_lines

    assert lines == 3


def is_upgrade(function: Written) -> bool:
    """A migration lists the columns of its tables, once and for ever: that is data, not a procedure."""
    return function.path.parent.name == "versions" and function.name == "upgrade"
