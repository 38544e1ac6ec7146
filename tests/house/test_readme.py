"""README is true: its commands run, and every setting and command stands in it."""

import subprocess
from dataclasses import fields
from pathlib import Path

import pytest

from app.__main__ import COMMANDS
from app.settings import Settings, variable
from tests.house.readme import README, answer, blocks, clean_environment, copy_with_environment, free_port, started


def test_first_two_blocks_are_one_line_each_for_the_shell() -> None:
    (first, demonstration), (second, tests) = blocks()[:2]

    assert (first, second) == ("sh", "sh")
    assert "\n" not in demonstration + tests
    assert demonstration.endswith("-m app demo")
    assert "-m pytest" in tests


def test_job_comes_before_the_first_command() -> None:
    before = README.split("```")[0]

    assert all(word in before for word in ("fitter", "chief engineer", "auditor", "reused, reworked or renewed"))


def test_demonstration_command_opens_the_demonstration(tmp_path: Path) -> None:
    copy, port = copy_with_environment(tmp_path), free_port()

    with started(blocks()[0][1], copy, clean_environment(WEARBOOK_PORT=str(port))) as process:
        status = answer(f"http://127.0.0.1:{port}/healthz", process)

    assert status == 200
    assert (copy / "data" / "demonstration.db").is_file()
    assert not (copy / "data" / "wearbook.db").exists()


def test_test_command_runs_the_tests(tmp_path: Path) -> None:
    copy = copy_with_environment(tmp_path)
    one_test = clean_environment(PYTEST_ADDOPTS="tests/house/test_colours.py -k black_on_white")

    told = subprocess.run(
        ["/bin/sh", "-c", blocks()[1][1]],
        cwd=copy,
        env=one_test,
        check=False,
        capture_output=True,
        text=True,
        timeout=240,
    )

    assert told.returncode == 0, told.stdout + told.stderr
    assert "1 passed" in told.stdout


def test_command_of_the_real_book_opens_an_empty_book(tmp_path: Path) -> None:
    copy, port = copy_with_environment(tmp_path), free_port()
    command = blocks()[2][1].replace("/srv/wearbook", str(tmp_path / "book")).replace("0.0.0.0", "127.0.0.1")

    with started(command, copy, clean_environment(WEARBOOK_PORT=str(port))) as process:
        status = answer(f"http://127.0.0.1:{port}/healthz", process)

    assert status == 200
    assert (tmp_path / "book" / "wearbook.db").is_file()


@pytest.mark.parametrize("setting", fields(Settings), ids=lambda setting: setting.name)
def test_setting_stands_in_the_table_with_default_and_help(setting) -> None:
    default = "no" if setting.default is False else setting.default or "empty"

    row = f"| `{variable(setting.name)}` | `{default}` | {setting.metadata['help']} |"

    assert row in README


def test_no_setting_stands_in_the_table_that_is_none() -> None:
    rows = [line.split("`")[1] for line in README.splitlines() if line.startswith("| `WEARBOOK_")]

    assert rows == [variable(setting.name) for setting in fields(Settings)]


@pytest.mark.parametrize("command", [command for command in COMMANDS if command])
def test_command_stands_in_the_table(command: str) -> None:
    rows = [
        line
        for line in README.splitlines()
        if line.startswith((f"| `python -m app {command}`", f"| `python -m app {command} "))
    ]

    assert len(rows) == 1


def test_no_command_stands_in_the_table_that_is_none() -> None:
    rows = [line.split("app ")[1].split("`")[0] for line in README.splitlines() if line.startswith("| `python -m app")]

    assert {row.split()[0] for row in rows} == {command for command in COMMANDS if command}
