"""Every test that is named as holding a line is there, and every test here is about a line of the standard."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

from tests.house.source import ROOT
from tests.web.asvs.lines import HELD_ELSEWHERE

LINE = re.compile(r"\d{1,2}\.\d{1,2}\.\d{1,2}")
HERE = Path(__file__).parent


@cache
def names_in(path: str) -> frozenset[str]:
    """The names of the tests of a file."""
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    return frozenset(node.name for node in tree.body if isinstance(node, ast.FunctionDef))


@pytest.mark.parametrize("line", HELD_ELSEWHERE)
def test_line_is_held_by_tests_that_are_there(line: str) -> None:
    assert LINE.fullmatch(line)
    assert HELD_ELSEWHERE[line]
    for test in HELD_ELSEWHERE[line]:
        path, name = test.split("::")
        assert name in names_in(path), test


def test_every_chapter_has_its_row_and_no_test_here_is_of_a_chapter_that_does_not_apply() -> None:
    rows = re.findall(r"^\| (\d+) [^|]+\| (yes|in part|no) \|", (HERE / "chapters.md").read_text("utf-8"), re.MULTILINE)
    names = [name for file in HERE.glob("test_*.py") for name in names_in(str(file.relative_to(ROOT)))]
    named = {name.split("_")[1] for name in names if re.match(r"test_\d+_\d+_\d+_", name)}
    held = named | {line.split(".")[0] for line in HELD_ELSEWHERE}

    assert [int(number) for number, _ in rows] == list(range(1, 18))
    assert held == {number for number, applies in rows if applies != "no"}
