"""Modules are named for what the trade knows, and what counts is tested as it is."""

import ast
import re

from tests.house.source import ROOT, files, functions, imported, tree_of

EMPTY_NAMES = re.compile(r"(^|_)(util|utils|helper|helpers|common|manager|managers|misc|stuff)(_|$)")


def test_no_module_has_a_name_that_says_nothing() -> None:
    modules = [path for path in files("*.py", "*.js", "*.css", "*.html") if EMPTY_NAMES.search(path.stem)]

    assert modules == []


def test_every_module_of_the_program_begins_with_one_sentence() -> None:
    silent = [
        str(path.relative_to(ROOT))
        for path in files("*.py", below="app")
        if not (ast.get_docstring(tree_of(path)) or "").split("\n\n")[0].rstrip().endswith((".", "?"))
    ]

    assert silent == []


def test_no_test_replaces_a_part_of_the_program_by_a_mock() -> None:
    mocked = [
        f"{path.relative_to(ROOT)}:{line}"
        for path in files("*.py", below="tests")
        for line, name in imported(path)
        if name.split(".")[0] in ("mock", "pytest_mock") or name == "unittest.mock"
    ]

    assert mocked == []


def test_names_of_tests_are_sentences() -> None:
    short = [
        function.place
        for function in functions("tests")
        if function.name.startswith("test_") and function.name.count("_") < 3
    ]

    assert short == []


def test_no_file_tells_how_it_came_about() -> None:
    # Put together here, so that this file itself stays silent.
    words = re.compile("|".join(("tran" + "script", "vid" + "eo-")), re.IGNORECASE)
    told = [
        str(path.relative_to(ROOT))
        for path in files("*")
        if path.suffix not in (".png", ".db") and words.search(path.read_text(encoding="utf-8", errors="replace"))
    ]

    assert told == []
