"""Tests of the site's key: it signs, stays one, and shows what somebody with the database alone has rewritten."""

from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import text

from app.actions.verifying import UNSIGNED, WrittenDown, verify_book
from app.domain.canonical import canonical, digest
from app.domain.overhaul import Meaning, Signature
from app.settings import Settings
from app.store.book import Book
from app.store.chain import chain_head
from app.store.facts import save_signature
from app.store.heads_file import set_heads_aside, sign_head, sign_head_of_day
from app.store.opening import give_key
from app.store.readings import save_reading
from app.store.site_key import KeyRefused, SiteKey, find_site_key, open_site_key
from app.store.site_signatures import list_heads, list_keys
from tests.store.behind import behind_the_book, past_the_book
from tests.store.builders import FITTER, NOW, a_reading, a_writing, an_open_book
from tests.store.forging import rewrite


@pytest.fixture
def settings(book: Book) -> Settings:
    """The settings beside a book, whose key has begun."""
    settings = Settings(data_folder=book.path.parent)
    give_key(book, settings.key_path)
    return settings


def a_signed_book(book: Book, settings: Settings) -> None:
    """A book with a reading and a signature over it, its head signed."""
    _, overhaul_id = an_open_book(book)
    with a_writing(book) as writing:
        save_reading(writing, overhaul_id, a_reading())
        content = canonical({"as_found": ["0.45"]})
        save_signature(writing, overhaul_id, Signature(Meaning.GAUGED, FITTER, NOW, digest(content)), content)
    sign_head(book, NOW, settings.heads_path)


def faults(book: Book, settings: Settings, **written: Any) -> list[str]:
    return list(verify_book(book, settings, WrittenDown(**written)).faults)


def test_key_is_the_first_entry_and_signs_every_seal_and_head(book: Book, settings: Settings) -> None:
    a_signed_book(book, settings)

    found = verify_book(book, settings)

    with book.reading() as session:
        (key,) = list_keys(session)
        (head,) = list_heads(session)
    assert (found.faults, found.notes) == ((), ())
    assert found.fingerprint == key["fingerprint"] == open_site_key(settings.key_path).fingerprint
    assert (head["seq"], head["digest"]) == (found.head_seq, found.head_digest)
    line = settings.heads_path.read_text(encoding="utf-8")
    assert line.startswith(f"2031-04-05T06:07:08.000009+00:00 head 1 entry {head['seq']} SHA-256 {head['digest']} key ")
    with past_the_book(book) as connection:
        assert connection.execute(text("SELECT what FROM entry WHERE seq = 1")).scalar_one() == "site key begun"
        assert connection.execute(text("SELECT site_key FROM signature")).scalar_one() == key["fingerprint"]


def test_key_is_the_servers_own_to_read_and_is_made_once(tmp_path: Path) -> None:
    path = tmp_path / "keys" / "site.key"

    keys = [open_site_key(path).public_key for _ in range(2)]

    assert keys[0] == keys[1]
    assert path.stat().st_mode & 0o777 == 0o600
    assert [each.name for each in path.parent.iterdir()] == ["site.key"]


def test_head_is_signed_once_a_day_and_not_again_where_nothing_came(book: Book, settings: Settings) -> None:
    sign_head(book, NOW, settings.heads_path)
    assert not settings.heads_path.exists()
    a_signed_book(book, settings)

    for day in (0, 0, 1, 2):
        with a_writing(book, now=NOW.replace(day=NOW.day + day)) as writing:
            writing.enter("noted", "test", None, day)
        sign_head_of_day(book, NOW.replace(day=NOW.day + day), settings.heads_path)
    sign_head(book, NOW, settings.heads_path)

    with book.reading() as session:
        assert [head["id"] for head in list_heads(session)] == [1, 2, 3]
    assert len(settings.heads_path.read_text(encoding="utf-8").splitlines()) == 3
    assert faults(book, settings) == []


@pytest.mark.parametrize("is_kept", [True, False])
def test_book_of_another_key_is_refused_and_no_second_is_made(book: Book, settings: Settings, is_kept: bool) -> None:
    a_signed_book(book, settings)
    own = open_site_key(settings.key_path)
    settings.key_path.unlink()
    if is_kept:
        open_site_key(settings.key_path)

    with pytest.raises(KeyRefused, match=f"signed by the site's key {own.fingerprint}"):
        give_key(book, settings.key_path)

    assert settings.key_path.exists() is is_kept


def test_process_with_another_key_signs_nothing_in_a_book_that_began_meanwhile(book: Book, settings: Settings) -> None:
    """Two servers start on an empty database, each with a key of its own: the first to write stands."""
    other = Book(book.path, book.url)
    other.key = SiteKey(Ed25519PrivateKey.generate())
    an_open_book(book)

    with pytest.raises(KeyRefused, match="Nothing was stored"), a_writing(other) as writing:
        writing.enter("noted", "test", None, 1)

    other.close()
    with book.reading() as session:
        assert len(list_keys(session)) == 1
    assert faults(book, settings) == []


def test_head_and_fingerprint_that_were_written_down_are_compared(book: Book, settings: Settings) -> None:
    a_signed_book(book, settings)
    with book.reading() as session:
        seq, taken = chain_head(session)
    own = open_site_key(settings.key_path).fingerprint

    assert faults(book, settings, seq=seq, digest=taken, fingerprint=own.upper().replace("-", " ")) == []
    assert "is not the one that was written down" in faults(book, settings, seq=seq, digest="0" * 64)[0]
    assert "is not the one that was written down" in faults(book, settings, seq=seq + 1, digest=taken)[0]
    assert "No key of this book has the fingerprint" in faults(book, settings, fingerprint="1234-5678")[0]


def test_tail_cut_off_shows_by_the_signed_head_and_by_the_file_alone(book: Book, settings: Settings) -> None:
    a_signed_book(book, settings)
    behind_the_book(book, "signature", "DELETE FROM signature")
    behind_the_book(book, "entry", "DELETE FROM entry WHERE what = 'signed'")
    by_row = faults(book, settings)

    behind_the_book(book, "signed_head", "DELETE FROM signed_head")

    assert any("the chain was cut or rewritten" in fault for fault in by_row)
    (by_file,) = faults(book, settings)
    assert by_file.startswith("wearbook-heads.txt, line 1: Entry ")


@pytest.mark.parametrize("column", ["id", "seq", "digest", "at", "site_key", "site_signature"])
def test_signed_head_changed_behind_the_book_is_found(book: Book, settings: Settings, column: str) -> None:
    a_signed_book(book, settings)
    zero = "'00'"
    to = {"id": "7", "seq": "2", "at": "'2031-04-06 06:07:08.000009'", "site_signature": "upper(site_signature)"}

    behind_the_book(book, "signed_head", f"UPDATE signed_head SET {column} = {to.get(column, zero)}")
    settings.heads_path.unlink()

    assert faults(book, settings) != []


SAID = {
    "their signatures": "does not carry the signature of the site's key",
    "no key": "does not carry the site's key",
    "a key of their own": "the site's key here is",
}


@pytest.mark.parametrize("leaves", SAID)
def test_chain_rewritten_whole_with_the_database_alone_is_found(book: Book, settings: Settings, leaves: str) -> None:
    """Triggers dropped, a reading and what was signed changed, each digest taken anew: all of it agrees with itself."""
    a_signed_book(book, settings)
    before = faults(book, settings)

    rewrite(book, leaves)

    found = verify_book(book, settings).faults
    of_chain = [fault for fault in found if "chain is broken" in fault or "Not as its entry says" in fault]
    assert (before, of_chain) == ([], [])  # The chain by itself no longer knows.
    assert found
    said = {
        "their signatures": "does not carry the signature of the site's key",
        "no key": "does not carry the site's key",
    }
    assert any(said.get(leaves, "the site's key here is") in fault for fault in found), found
    assert any(fault.startswith("wearbook-heads.txt, line 1: ") for fault in found)


def test_what_was_signed_before_there_was_a_key_holds_and_what_comes_after_needs_it(book: Book, tmp_path: Path) -> None:
    settings = Settings(data_folder=book.path.parent)
    _, overhaul_id = an_open_book(book)
    seal = Signature(Meaning.GAUGED, FITTER, NOW, digest("{}"))
    with a_writing(book) as writing:
        save_signature(writing, overhaul_id, seal, "{}")
    give_key(book, settings.key_path)
    sign_head(book, NOW, settings.heads_path)
    of_before = faults(book, settings)

    book.key = None  # as a program without the key would
    with a_writing(book) as writing:
        save_signature(writing, overhaul_id, seal, "{}")

    assert of_before == []
    assert "(signed) does not carry the signature of the site's key" in faults(book, settings)[0]


@pytest.mark.parametrize(
    ("is_key_here", "said"), [(True, "does not carry the site's key"), (False, "it was taken out")]
)
def test_key_taken_out_of_a_book_that_it_has_signed_is_a_fault_whatever_is_left_of_its_signatures(
    book: Book, settings: Settings, is_key_here: bool, said: str
) -> None:
    a_signed_book(book, settings)
    for path in (settings.heads_path, *([] if is_key_here else [settings.key_path])):
        path.unlink()
    found = []

    for table, left in (("site_key", 1), ("signed_head", 0), ("entry", "what = 'site key begun'")):
        behind_the_book(book, table, f"DELETE FROM {table}{f' WHERE {left}' if isinstance(left, str) else ''}")
        found.append(faults(book, settings))

    assert all(any(said in fault for fault in each) for each in found), found


def test_book_written_anew_without_a_key_is_told_unsigned_where_no_head_is_left_and_the_fingerprint_tells(
    book: Book, settings: Settings
) -> None:
    a_signed_book(book, settings)
    own = open_site_key(settings.key_path).fingerprint
    rewrite(book, "no key")
    by_heads = verify_book(book, settings)
    settings.heads_path.unlink()

    found = verify_book(book, settings)

    assert UNSIGNED not in by_heads.notes
    assert any("does not carry the site's key" in fault for fault in by_heads.faults)
    assert (found.faults, UNSIGNED in found.notes) == ((), True)
    assert any("There is no file of signed heads" in note for note in found.notes)
    assert "No key of this book has the fingerprint" in faults(book, settings, fingerprint=own)[0]


def test_files_that_are_no_key_or_no_head_are_named(book: Book, settings: Settings) -> None:
    a_signed_book(book, settings)
    with settings.heads_path.open("a", encoding="utf-8") as file:
        file.write("nothing of ours\n")

    assert faults(book, settings) == ["wearbook-heads.txt, line 2: This is no signed head."]
    aside = set_heads_aside(settings.heads_path, NOW)
    assert aside is not None
    assert aside.name == "wearbook-heads-set-aside-20310405T060708Z.txt"
    assert set_heads_aside(settings.heads_path, NOW) is None
    settings.key_path.write_text("no key")
    with pytest.raises(KeyRefused, match="cannot be read"):
        find_site_key(settings.key_path)
