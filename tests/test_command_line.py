"""The command line, each command as a person types it."""

import socket
from pathlib import Path

import pytest

from app.__main__ import main
from app.actions.sheets import sheets
from app.application import open_book
from app.domain.people import Role
from app.settings import Settings
from tests.builders import SAMPLES, a_person, a_sheet_text
from tests.demonstration_book import copy_demonstration


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(tmp_path))
    return tmp_path


@pytest.fixture
def taken_port(monkeypatch: pytest.MonkeyPatch):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        monkeypatch.setenv("WEARBOOK_PORT", str(taken.getsockname()[1]))
        yield taken.getsockname()[1]


def a_book_with_a_chief(folder: Path) -> None:
    book = open_book(Settings(data_folder=folder))
    a_person(book, "I. Brandreth", Role.CHIEF)
    book.close()


def test_a_sheet_is_imported_in_the_name_of_a_chief_engineer(folder: Path, capsys: pytest.CaptureFixture[str]):
    a_book_with_a_chief(folder)

    status = main(["import-sheet", str(SAMPLES / "qm-ga.toml"), "--by", "I. Brandreth", "--accept-warnings"])

    book = open_book(Settings(data_folder=folder))
    assert status == 0
    assert [one.name for one in sheets(book)] == ["QM-GA"]
    assert "QM-GA rev C is in the book." in capsys.readouterr().out
    book.close()


def test_a_stranger_imports_nothing(folder: Path, capsys: pytest.CaptureFixture[str]):
    a_book_with_a_chief(folder)

    status = main(["import-sheet", str(SAMPLES / "qm-ga.toml"), "--by", "Nobody"])

    assert status == 1
    assert "Nobody called “Nobody” is in the book." in capsys.readouterr().err


def test_every_fault_of_a_sheet_is_listed_and_nothing_is_imported(folder: Path, capsys: pytest.CaptureFixture[str]):
    a_book_with_a_chief(folder)
    broken = folder / "broken.toml"
    broken.write_text(a_sheet_text().replace('rule = "simple"', 'rule = "hopeful"').replace("140.00", '"wide"', 1))

    status = main(["import-sheet", str(broken), "--by", "I. Brandreth"])

    said = capsys.readouterr().err
    assert status == 1
    assert "hopeful" in said
    assert "wide" in said


def test_a_taken_port_is_said_in_words(folder: Path, taken_port: int, capsys: pytest.CaptureFixture[str]):
    status = main(["serve"])

    assert status == 1
    assert f"Port {taken_port} on 127.0.0.1 is taken" in capsys.readouterr().err


def test_without_a_command_the_real_book_is_served(folder: Path, taken_port: int):
    assert main([]) == 1
    assert not (folder / "demonstration.db").exists()


def test_a_demonstration_that_is_there_is_not_written_again(folder: Path, taken_port: int):
    path = copy_demonstration(folder)
    before = path.stat().st_mtime_ns

    assert main(["demo"]) == 1
    assert path.stat().st_mtime_ns == before


def test_an_impossible_setting_is_said_in_words(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    monkeypatch.setenv("WEARBOOK_PORT", "eight thousand")

    assert main(["serve"]) == 1
    assert "WEARBOOK_PORT is 'eight thousand'; a whole number is expected." in capsys.readouterr().err
