"""Imports point inwards, and the innermost ring depends on nothing that changes by itself."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests.house.source import ROOT, files, imported

OUTSIDE_THE_DOMAIN = {
    "asyncio", "http", "io", "logging", "os", "pathlib", "pickle", "random", "secrets", "shutil", "socket", "sqlite3",
    "subprocess", "sys", "tempfile", "threading", "time", "urllib", "uuid", "zoneinfo",
}  # fmt: skip
CLOCKS = {"now", "utcnow", "today"}


def test_every_contract_of_the_import_linter_is_kept() -> None:
    command = [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"]

    told = subprocess.run(command, cwd=ROOT, check=False, capture_output=True, text=True, timeout=120)

    assert told.returncode == 0, told.stdout + told.stderr


def test_domain_imports_only_itself_pint_and_what_is_pure_of_the_standard_library() -> None:
    allowed = (set(sys.stdlib_module_names) - OUTSIDE_THE_DOMAIN) | {"pint"}

    foreign = [
        f"{path.relative_to(ROOT)}:{line} {name}"
        for path in files("*.py", below="app/domain")
        for line, name in imported(path)
        if name.split(".")[0] not in allowed and not name.startswith("app.domain")
    ]

    assert foreign == []


def test_domain_reads_no_clock_and_opens_no_file() -> None:
    impure = [
        f"{path.relative_to(ROOT)}:{line}"
        for path in files("*.py", below="app/domain")
        for line in impure_calls(path.read_text(encoding="utf-8"))
    ]

    assert impure == []


@pytest.mark.parametrize("call", ["datetime.now(UTC)", "date.today()", "open('a')", "print(1)", "input()"])
def test_a_call_that_reads_the_outer_world_would_be_found(call: str) -> None:
    lines = list(impure_calls(f"x = 1\ny = {call}\n"))

    assert lines == [2]


def test_modules_of_a_ring_do_not_import_the_test_suite() -> None:
    turned = [
        f"{path.relative_to(ROOT)}:{line}"
        for folder in ("app", "migrations", "sample_data")
        for path in files("*.py", below=folder)
        for line, name in imported(path)
        if name.split(".")[0] in ("tests", "pytest", "hypothesis")
    ]

    assert turned == []


def impure_calls(source: str) -> list[int]:
    """Give the lines where something is asked that may answer differently tomorrow."""
    calls = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    return [call.lineno for call in calls if is_impure(call.func)]


def is_impure(called: ast.expr) -> bool:
    """Whether the called thing reads a clock, or talks to the outer world."""
    if isinstance(called, ast.Attribute):
        return called.attr in CLOCKS
    return isinstance(called, ast.Name) and called.id in ("open", "print", "input", "eval", "exec")
