"""Tests of the commands about the site's key: verify with what was written down, a lost key, a new one."""

from contextlib import closing
from pathlib import Path

import pytest

from app.__main__ import main
from app.application import open_book
from app.domain.people import Role
from app.settings import Settings
from app.store.chain import chain_head
from app.store.site_key import KeyRefused, find_site_key, open_site_key
from app.store.site_signatures import list_keys
from tests.builders import a_book, a_person

NEW = ["new-key", "--by", "I. Brandreth", "--reason", "the old server was stolen"]


@pytest.fixture
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Settings:
    """A book with a chief engineer and a fitter, its head signed, as the command line finds it."""
    settings = Settings(data_folder=tmp_path, port=0)
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(tmp_path))
    monkeypatch.setenv("WEARBOOK_PORT", "0")
    with closing(a_book(tmp_path)) as book:
        a_person(book, "I. Brandreth", Role.CHIEF)
        a_person(book)
    assert main(["backup"]) == 0
    return settings


def key_of(settings: Settings) -> str:
    key = find_site_key(settings.key_path)
    assert key is not None
    return key.fingerprint


def test_verify_compares_head_and_fingerprint_with_what_was_written_down(settings: Settings, capsys) -> None:
    with closing(open_book(settings)) as book, book.reading() as session:
        seq, digest = chain_head(session)
    key = key_of(settings)

    statuses = [
        main(["verify", "--head", f"{seq}:{digest}", "--fingerprint", key]),
        main(["verify", "--head", f"{seq - 1}:{digest}"]),
        main(["verify", "--fingerprint", "0000 1111"]),
        main(["verify", "--head", "the last one"]),
    ]

    said = capsys.readouterr()
    assert statuses == [0, 1, 1, 1]
    assert f"The site's key is {key}; 1 heads of the chain are signed." in said.out
    assert f"Entry {seq - 1} is not the one that was written down" in said.err
    assert "No key of this book has the fingerprint 0000 1111" in said.err
    assert "Give the entry's number, a colon and its digest" in said.err


def test_new_key_is_begun_as_an_entry_signed_by_the_one_before_which_is_kept(settings: Settings, capsys) -> None:
    before = key_of(settings)
    settings.key_path.chmod(0o600)

    status = main(NEW)

    after = key_of(settings)
    with closing(open_book(settings)) as book, book.reading() as session:
        keys = list_keys(session)
    assert (status, after != before) == (0, True)
    assert [(key["fingerprint"], key["site_key"]) for key in keys] == [(before, ""), (after, before)]
    assert keys[1]["reason"] == "the old server was stolen"
    assert (settings.data_folder / f"site-{before}.key").stat().st_mode & 0o777 == 0o600
    assert main(["verify"]) == 0
    assert f"From entry 4 on the site's key is {after}" in capsys.readouterr().out


def test_lost_key_keeps_the_book_closed_until_a_new_one_is_begun_unsigned(settings: Settings, capsys) -> None:
    before = key_of(settings)
    settings.key_path.unlink()

    statuses = [main(["backup"]), main(NEW), main(["verify"])]

    said = capsys.readouterr()
    assert statuses == [1, 0, 0]
    assert f"This book is signed by the site's key {before}, which is not at {settings.key_path}." in said.err
    assert "No key before it could sign for it." in said.out
    assert f"Key {key_of(settings)} took over without the signature of the one before it: the old server" in said.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([*NEW[:2], "M. Tarrow", *NEW[3:]], "not allowed"),
        ([*NEW[:2], "Nobody", *NEW[3:]], "Nobody called “Nobody” is in the book."),
        ([*NEW[:4], "x"], "Say why, in 4 to 500 characters."),
    ],
)
def test_new_key_needs_a_chief_engineer_and_a_reason(settings: Settings, capsys, words: list[str], said: str) -> None:
    before = key_of(settings)

    assert main(words) == 1
    assert said in capsys.readouterr().err or said == "not allowed"
    assert key_of(settings) == before
    assert [path.name for path in settings.data_folder.glob("*.key")] == ["site.key"]


def test_new_key_that_is_not_entered_leaves_the_one_before_in_place(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = key_of(settings)
    monkeypatch.setattr("app.actions.site_keys.begin_key", _fails)

    with pytest.raises(OSError, match="the disk is full"):
        main(NEW)

    assert key_of(settings) == before
    with closing(open_book(settings)) as book, book.reading() as session:
        assert len(list_keys(session)) == 1


def test_key_of_another_site_begins_nothing(settings: Settings, capsys) -> None:
    settings.key_path.unlink()
    open_site_key(settings.key_path)

    assert main(NEW) == 1
    assert "is not the one that signs this book" in capsys.readouterr().err
    with pytest.raises(KeyRefused, match="and the key here is"):
        open_book(settings)


def _fails(*_arguments: object) -> None:
    raise OSError("the disk is full")
