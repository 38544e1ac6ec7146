"""The files of a re-judging are whole or not there, and say the same in both forms."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from app.domain.limits import LimitSheet
from app.domain.overhaul import Machine, Overhaul, Scope
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.readings import Occasion
from app.domain.sheet_file import read_sheet
from app.reports.verdict_files import FolderRefused, Format, VerdictFiles
from app.reports.verdict_rows import RejudgedOpening, SetAside
from tests.builders import NOW, a_reading, a_sheet_text, good_readings
from tests.old_paper import Run


def a_sheet() -> LimitSheet:
    """The sheet of GA-1."""
    return read_sheet(a_sheet_text())


def an_opening(name: str = "7", gap: str = "0.70") -> RejudgedOpening:
    """Stage 2 opened and good, but for the gap of ring 1."""
    sheet = a_sheet()
    parts = tuple(part for part in sheet.parts if part.stage == 2)
    readings = (
        *good_readings(parts, Occasion.AS_FOUND, NOW),
        a_reading("2.ring-1", "closed-gap", gap, level="worst place"),
    )
    machine = Machine(1, "GA-1", "", "", "", sheet.name)
    overhaul = Overhaul(1, 1, machine, sheet, Scope((2,), True), Decimal(9350), NOW, "M. Tarrow", readings)
    verdicts = judge_overhaul(overhaul)
    return RejudgedOpening(name, "GA-1", Decimal("9350.50"), NOW.date(), "stage 2", 2, 31, 30, verdicts)


def written(
    folder: Path, *openings: RejudgedOpening, form: Format = Format.BOTH, aside: tuple[SetAside, ...] = ()
) -> Run:
    """Openings written into a folder."""
    with VerdictFiles(folder, a_sheet(), form) as files:
        for opening in openings:
            files.write_opening(opening)
        files.set_aside(aside)
        files.summary = {"openings": len(openings)}
    return Run(folder, None)  # type: ignore[arg-type]  # nothing was judged here


@pytest.mark.parametrize("count", [0, 1, 3])
def test_json_is_one_document_however_many_openings_it_has(tmp_path: Path, count: int) -> None:
    run = written(tmp_path / "out", *(an_opening(str(number)) for number in range(count)))

    document = run.document
    assert list(document) == ["sheet", "rule", "openings", "summary"]
    assert (document["sheet"]["name"], document["sheet"]["revision"], document["rule"]) == ("QM-GA", "C", "simple")
    assert [opening["overhaul"] for opening in document["openings"]] == [str(number) for number in range(count)]
    assert document["summary"] == {"openings": count}


def test_part_stands_in_the_json_with_everything_its_verdict_rests_on(tmp_path: Path) -> None:
    part = written(tmp_path / "out", an_opening()).part("2.ring-1")

    assert {key: part[key] for key in ("item", "name", "stage", "verdict", "renews")} == {
        "item": "2-03", "name": "Ring 1", "stage": 2, "verdict": "RENEW", "renews": "ring set",
    }  # fmt: skip
    first = part["reasons"][0]
    assert (first["verdict"], first["figure"], first["characteristic"]) == ("RENEW", "0.70", "closed-gap")
    assert first["reason"] == "0.70 mm is over the limit 0.65 mm."
    assert first["source"] == "Sheet QM-GA rev C, table 4"
    assert len(part["reasons"]) > 2


def test_table_has_one_row_a_part_and_says_what_the_json_says(tmp_path: Path) -> None:
    run = written(tmp_path / "out", an_opening("7"), an_opening("8", "0.60"))

    parts = [(opening, part) for opening in run.openings for part in opening["parts"]]
    said = [
        (o["overhaul"], o["hours"], o["date"], p["part"], p["verdict"], p["renews"], p["set_reason"]) for o, p in parts
    ]
    columns = ("overhaul", "hours", "date", "part", "verdict", "renews", "set_reason")
    rows = run.table()
    assert [tuple(row[column] for column in columns) for row in rows] == said
    assert [row["reason"] for row in rows] == [part["reasons"][0]["reason"] for _, part in parts]
    assert rows[2]["hours"] == "9350.50"


def test_counts_of_an_opening_name_every_verdict(tmp_path: Path) -> None:
    opening = written(tmp_path / "out", an_opening()).openings[0]

    words = [part["verdict"] for part in opening["parts"]]
    assert set(opening["summary"]) == {"REUSE", "REWORK", "RENEW", "UNDECIDED", "NOT GAUGED"}
    assert all(count == words.count(word) for word, count in opening["summary"].items())
    assert opening["summary"]["RENEW"] > 1


@pytest.mark.parametrize(
    ("form", "names"),
    [
        (Format.JSON, {"refused.csv", "verdicts.json"}),
        (Format.CSV, {"refused.csv", "verdicts.csv"}),
        (Format.BOTH, {"refused.csv", "verdicts.csv", "verdicts.json"}),
    ],
)
def test_folder_holds_the_forms_that_were_asked_for(tmp_path: Path, form: Format, names: set[str]) -> None:
    written(tmp_path / "deep" / "out", an_opening(), form=form)

    assert {path.name for path in (tmp_path / "deep" / "out").iterdir()} == names


def test_no_file_has_its_name_before_all_of_them_are_whole(tmp_path: Path) -> None:
    with VerdictFiles(tmp_path / "out", a_sheet(), Format.BOTH) as files:
        files.write_opening(an_opening())
        before = {path.suffix for path in (tmp_path / "out").iterdir()}

    assert before == {".part"}
    assert {path.suffix for path in (tmp_path / "out").iterdir()} == {".csv", ".json"}


@pytest.mark.parametrize("was_there", [True, False])
def test_run_that_ends_early_leaves_nothing_behind(tmp_path: Path, was_there: bool) -> None:
    folder = tmp_path / "out"
    if was_there:
        folder.mkdir()

    with pytest.raises(KeyboardInterrupt):
        _interrupted(folder)

    assert folder.exists() is was_there
    assert not was_there or list(folder.iterdir()) == []


def _interrupted(folder: Path) -> None:
    """Write one opening, and stop."""
    with VerdictFiles(folder, a_sheet(), Format.BOTH) as files:
        files.write_opening(an_opening())
        raise KeyboardInterrupt


@pytest.mark.parametrize("name", ["verdicts.json", "verdicts.csv", "refused.csv", "verdicts.json.part"])
def test_files_of_another_run_are_neither_overwritten_nor_mixed_with(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("kept", encoding="utf-8")

    with pytest.raises(FolderRefused), VerdictFiles(tmp_path, a_sheet(), Format.BOTH):
        pass

    assert [(path.name, path.read_text(encoding="utf-8")) for path in tmp_path.iterdir()] == [(name, "kept")]


def test_folder_that_goes_away_is_said_in_words_and_nothing_is_kept(tmp_path: Path) -> None:
    folder = tmp_path / "out"

    with pytest.raises(FolderRefused, match=r"No such file or directory\. Nothing was kept\."):
        _without_its_table(folder)

    assert not folder.exists()


def _without_its_table(folder: Path) -> None:
    """Write one opening, and lose a file before it has its name."""
    with VerdictFiles(folder, a_sheet(), Format.BOTH) as files:
        files.write_opening(an_opening())
        (folder / "verdicts.csv.part").unlink()


def test_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("kept", encoding="utf-8")

    with pytest.raises(FolderRefused, match="cannot be written"), VerdictFiles(tmp_path / "out", a_sheet(), Format.CSV):
        pass


@pytest.mark.parametrize("typed", ["=HYPERLINK(1)", "@SUM(1)", "+1+1", "-1+cmd", "-A1"])
def test_typed_text_never_becomes_a_formula_of_a_spreadsheet(tmp_path: Path, typed: str) -> None:
    aside = SetAside(2, "refused", "7", "2.ring-1", "closed-gap", "value", typed, "This is not one plain number.")

    run = written(tmp_path / "out", aside=(aside,))

    assert run.refused[0]["typed"] == f"'{typed}"


@pytest.mark.parametrize("typed", ["-0.02", "+0,5", "-7", "0.70", "Ring 1"])
def test_number_with_a_sign_stays_a_number(tmp_path: Path, typed: str) -> None:
    aside = SetAside(2, "refused", "7", "2.ring-1", "closed-gap", "value", typed, "No sign belongs here.")

    run = written(tmp_path / "out", aside=(aside,))

    assert run.refused[0]["typed"] == typed


def test_tables_carry_the_mark_of_utf_8_and_the_json_does_not(tmp_path: Path) -> None:
    run = written(tmp_path / "out", an_opening("Öffnung ⌀"))

    raw = {path.name: path.read_bytes() for path in run.folder.iterdir()}
    assert raw["verdicts.csv"].startswith(b"\xef\xbb\xbf")
    assert json.loads(raw["verdicts.json"])["openings"][0]["overhaul"] == "Öffnung ⌀"
