"""A full disk, a read-only disk, a locked book: each said in words, and every acknowledged reading still there."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from app.__main__ import main
from app.actions.backups import Backups
from app.application import open_book
from app.settings import Settings
from app.store.backup import BackupFailed
from app.store.book import Book, NotStored
from app.store.chain import verify_chain
from app.store.evidence import verify_evidence
from app.store.readings import list_readings, save_reading
from tests.builders import NOW, a_book
from tests.faults.disk import fill, make_read_only, small_disk
from tests.store.builders import a_reading, a_writing, an_open_book
from tests.web.forms import form_of
from tests.web.visitor import words_of
from tests.web.workshop import Workshop


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    with small_disk(tmp_path / "disk", 2560) as folder:
        yield folder


def keep_until_refused(book: Book, overhaul_id: int) -> tuple[list[str], str]:
    """Keep readings until one is refused; the identifiers acknowledged, and the words of the refusal."""
    told: list[str] = []
    for number in range(20_000):
        try:
            with a_writing(book) as writing:
                save_reading(writing, overhaul_id, a_reading(f"reading-{number:06}"))
        except NotStored as refusal:
            return told, str(refusal)
        told.append(f"reading-{number:06}")
    raise AssertionError("The disk was never full.")


def kept(book: Book, overhaul_id: int) -> list[str]:
    with book.reading() as session:
        assert verify_chain(session) is None
        assert verify_evidence(session) == []
        return [reading.id for reading in list_readings(session, overhaul_id)]


def test_full_disk_refuses_in_words_loses_nothing_and_goes_on_once_there_is_room(disk: Path) -> None:
    with closing(a_book(disk)) as book:
        _, overhaul_id = an_open_book(book)
        spare = disk / "spare"
        spare.write_bytes(b"\0" * 400_000)

        told, words = keep_until_refused(book, overhaul_id)
        while_full = kept(book, overhaul_id)
        spare.unlink()
        with a_writing(book) as writing:
            save_reading(writing, overhaul_id, a_reading("after-room-was-made"))

        assert len(told) > 50
        assert "nothing was stored" in words
        assert "full" in words or "disk I/O" in words
        assert while_full == told
        assert kept(book, overhaul_id) == [*told, "after-room-was-made"]


def test_reading_sent_to_a_full_disk_is_answered_as_not_stored_and_pages_are_still_read(disk: Path) -> None:
    with closing(a_book(disk)) as book:
        shop = Workshop(book).safe()
        page = shop.fitter.get(shop.url("/gauge/2.pin/diameter"))
        form = form_of(page.text, shop.url("/readings")) | {"value": "21.995"}
        filler = fill(disk)
        many = [
            shop.fitter.client.post(shop.url("/readings"), data=form | {"id": f"a-tablet-{n:04}"}) for n in range(40)
        ]
        page_while_full = shop.fitter.get(shop.url("/gauge/2.pin/diameter"))
        stored_while_full = [reading.id for reading in shop.readings]
        filler.unlink()

        shop.fitter.post(shop.url("/readings"), form)

        acknowledged = [f"a-tablet-{n:04}" for n, answer in enumerate(many) if answer.status_code == 303]
        assert {answer.status_code for answer in many} <= {303, 503}
        assert many[-1].status_code == 503
        assert "nothing was stored" in words_of(many[-1].text)
        assert page_while_full.status_code == 200
        assert stored_while_full == acknowledged
        assert [reading.id for reading in shop.readings] == [*acknowledged, form["id"]]


def test_backup_onto_a_full_disk_fails_aloud_and_leaves_nothing_half_done(tmp_path: Path, disk: Path) -> None:
    with closing(a_book(tmp_path / "data")) as book:
        an_open_book(book)
        backups = Backups(book, Settings(data_folder=tmp_path / "data", backup_folder=disk / "backups"))
        filler = fill(disk)

        with pytest.raises(BackupFailed, match=r"full|No space left"):
            backups.take(NOW)
        filler.unlink()

        assert backups.trouble()
        assert not list(disk.rglob("*.part*"))
        assert backups.take(NOW).exists()


def test_start_on_a_read_only_disk_says_so_and_leaves_the_book_alone(
    disk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    a_book(disk).close()
    before = (disk / "wearbook.db").read_bytes()
    make_read_only(disk)
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(disk))
    monkeypatch.setenv("WEARBOOK_PORT", "0")

    status = main(["serve"])

    assert status == 1
    assert "cannot be opened" in (told := capsys.readouterr().err)
    assert "can be written" in told
    assert (disk / "wearbook.db").read_bytes() == before


def test_book_locked_by_another_program_refuses_in_words_and_keeps_the_reading_sent_again(tmp_path: Path) -> None:
    with closing(open_book(Settings(data_folder=tmp_path))) as book:
        _, overhaul_id = an_open_book(book)
        with book.writer.connect() as connection:
            connection.exec_driver_sql("PRAGMA busy_timeout = 200")

        with closing(sqlite3.connect(book.path, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(NotStored, match="locked"), a_writing(book) as writing:
                save_reading(writing, overhaul_id, a_reading("sent-while-locked"))
            seen = kept(book, overhaul_id)
            other.execute("ROLLBACK")
        with a_writing(book) as writing:
            save_reading(writing, overhaul_id, a_reading("sent-while-locked"))

        assert seen == []
        assert kept(book, overhaul_id) == ["sent-while-locked"]
