"""The two commands for old paper, as they are typed."""

import io
import json
from pathlib import Path

import pytest

from app.__main__ import main
from app.actions.rejudging import Tally
from app.rejudge_command import LOG_PAUSE_S, Progress
from tests.builders import SAMPLES
from tests.old_paper import a_file, a_row, a_table

SHEET = str(SAMPLES / "qm-ga.toml")
GOOD = a_row("2.pin", "diameter", value="21.995")
BAD = a_row("2.pin", "diameter", value="wide")


def run(folder: Path, text: str, *more: str) -> int:
    """Type the command for a file of this text."""
    return main(["rejudge", SHEET, str(a_file(folder, text)), "--out", str(folder / "out"), *more])


def test_command_writes_the_verdicts_and_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = run(tmp_path, a_table([GOOD]))

    told = capsys.readouterr()
    assert status == 0
    assert told.out == ""
    assert told.err == "100 %  openings judged: 1, readings: 1, lines refused: 0, superseded: 0\n"
    assert json.loads((tmp_path / "out" / "verdicts.json").read_text(encoding="utf-8"))["summary"]["openings"] == 1


def test_command_says_by_its_status_that_lines_were_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = run(tmp_path, a_table([GOOD, BAD]))

    assert status == 3
    assert f"is listed in {tmp_path / 'out' / 'refused.csv'}." in capsys.readouterr().err
    assert (tmp_path / "out" / "verdicts.json").exists()


@pytest.mark.parametrize(("form", "other"), [("json", "csv"), ("csv", "json")])
def test_command_writes_the_form_that_is_asked_for(tmp_path: Path, form: str, other: str) -> None:
    run(tmp_path, a_table([GOOD]), "--format", form)

    assert (tmp_path / "out" / f"verdicts.{form}").exists()
    assert not (tmp_path / "out" / f"verdicts.{other}").exists()


def test_file_that_is_refused_leaves_no_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = run(tmp_path, "overhaul,houres\n")

    assert status == 1
    assert "no column “houres”; perhaps “hours” is meant." in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_second_run_into_the_same_folder_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    statuses = [run(tmp_path, a_table([GOOD])) for _ in range(2)]

    assert statuses == [0, 1]
    assert "Choose another folder." in capsys.readouterr().err


@pytest.mark.parametrize("command", [["rejudge-template"], ["rejudge", "readings.csv", "--out", "out"]])
def test_sheet_that_is_not_there_is_said_in_words(capsys: pytest.CaptureFixture[str], command: list[str]) -> None:
    status = main([command[0], "lost.toml", *command[1:]])

    assert status == 1
    assert "lost.toml cannot be read: No such file or directory." in capsys.readouterr().err


def test_sheet_that_is_not_of_utf_8_is_said_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = tmp_path / "sheet.toml"
    sheet.write_bytes(b"name = '\xff'")

    status = main(["rejudge-template", str(sheet)])

    assert status == 1
    assert "is not text in UTF-8" in capsys.readouterr().err


def test_template_goes_to_the_standard_output_and_comes_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status = main(["rejudge-template", SHEET])

    text = capsys.readouterr().out
    assert status == 0
    assert text.startswith("overhaul,machine,hours,date,occasion,part,characteristic,level,axis,kind,value,")
    assert run(tmp_path, text) == 0


class Terminal(io.StringIO):
    """A stream that a person looks at."""

    def isatty(self) -> bool:
        return True


def test_progress_stays_on_one_line_of_a_terminal_until_the_end() -> None:
    stream = Terminal()
    progress = Progress(stream)

    progress.told_at_s -= LOG_PAUSE_S
    progress.tell(Tally(line_count=200, line=50, opening_count=1))
    progress.tell(Tally(line_count=200, line=51, opening_count=2))
    progress.end(Tally(line_count=200, line=200, opening_count=3))

    assert stream.getvalue().split("  openings judged: ") == [
        " 25 %", "1, readings: 0, lines refused: 0, superseded: 0\r100 %",
        "3, readings: 0, lines refused: 0, superseded: 0\n",
    ]  # fmt: skip
