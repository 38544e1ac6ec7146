"""The command line, each command as a person types it."""

import json
import socket
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.__main__ import main
from app.actions.sheets import sheets
from app.application import open_book
from app.domain.people import Role
from app.reports.verifier import export_faults
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


def test_a_machine_is_exported_into_a_file_and_nothing_is_overwritten(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy_demonstration(folder).rename(folder / "wearbook.db")
    target = folder / "ba.json"

    statuses = [main(["export", str(target), "--machine", "BA-1", "--overhaul", "2"]) for _ in range(2)]

    export = json.loads(target.read_text("utf-8"))
    assert statuses == [0, 1]
    assert [overhaul["number"] for overhaul in export["overhauls"]] == [2]
    assert export_faults(export) == []
    assert "is there already" in capsys.readouterr().err
    assert list(folder.glob("*.part")) == []


def test_the_whole_demonstration_is_exported_and_verifies(folder: Path) -> None:
    copy_demonstration(folder).rename(folder / "wearbook.db")

    status = main(["export", str(folder / "book.json")])

    export = json.loads((folder / "book.json").read_text("utf-8"))
    assert status == 0
    assert export_faults(export) == []
    assert min(len(export[name]) for name in ("people", "machines", "sheets")) > 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["export", "book.pdf"], "the ending is one of .csv, .xlsx, .json, .zip"),
        (["export", "book.json", "--overhaul", "2"], "--overhaul needs --machine"),
        (["export", "book.json", "--machine", "XX-1"], "There is no machine XX-1."),
        (["export", "book.json", "--machine", "BA-1", "--overhaul", "99"], "BA-1 has no overhaul 99."),
        (["export", "no folder/book.json"], "could not be written"),
    ],
)
def test_an_export_that_cannot_be_is_refused_in_words(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    copy_demonstration(folder).rename(folder / "wearbook.db")
    monkeypatch.chdir(folder)

    assert main(words) == 1
    assert said in capsys.readouterr().err
    assert sorted(path.name for path in folder.iterdir() if path.name.startswith("book")) == []


def test_verify_says_that_a_book_is_whole_and_names_what_is_not(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = copy_demonstration(folder).rename(folder / "wearbook.db")
    whole = main(["verify"])
    with closing(sqlite3.connect(path)) as connection, connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f'DROP TRIGGER "{name}"')
        connection.execute("UPDATE decision SET reason = 'another reason' WHERE id = 2")
        connection.execute("UPDATE entry SET why = 'another why' WHERE seq = 30")

    changed = main(["verify"])

    said = capsys.readouterr()
    assert (whole, changed) == (0, 1)
    assert said.out.startswith("The book is whole. Its last entry is ")
    assert "The chain is broken at entry 30" in said.err
    assert "decision, row 2" in said.err


def test_verify_names_a_damaged_file(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = copy_demonstration(folder).rename(folder / "wearbook.db")
    whole = path.read_bytes()
    path.write_bytes(whole[:8192] + b"\xff" * 40960 + whole[49152:])

    assert main(["verify"]) == 1
    assert "The file " in capsys.readouterr().err


def test_verify_makes_no_book_where_there_is_none(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify"]) == 1
    assert "There is no book" in capsys.readouterr().err
    assert list(folder.iterdir()) == []
