"""Tests of photos: added to a part and a reading, shown on every sheet, sealed by digest, withdrawn before signing."""

import json
import shutil
from pathlib import Path

from httpx2 import Response

from app.actions.overhauls import overhaul
from app.domain.canonical import canonical
from app.domain.overhaul import Meaning
from app.domain.seal import content_for
from app.store.backup import back_up
from app.store.book import Book
from app.store.chain import list_entries
from app.store.evidence import verify_evidence
from app.store.facts import get_signature_content
from tests.builders import sign_all
from tests.pictures import a_bomb, a_photo_with_its_place, a_picture
from tests.web.forms import form_of, said_beside, typed_in
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import OPENED_AT, Workshop

PART = "2.ring-1"


def send(
    shop: Workshop, content: bytes, name: str = "a.jpg", visitor: Visitor | None = None, **typed: object
) -> Response:
    """Open the photos of the ring, fill the form in and send it."""
    by = visitor or shop.fitter
    by.get(shop.url(f"/photos/{PART}"))
    form = form_of(by.page, shop.url("/photos")) | typed
    form.pop("photo", None), form.pop("file", None)
    return by.client.post(shop.url("/photos"), data=form, files={"photo": (name, content)}, follow_redirects=False)


def withdraw(shop: Workshop, reason: str, status: int = 303) -> Response:
    """Withdraw the first photo."""
    shop.fitter.get(shop.url(f"/photos/{PART}"))
    form = form_of(shop.fitter.page, shop.url(f"/photos/{PART}")) | {"reason": reason}
    return shop.fitter.post(shop.url(f"/photos/{PART}"), form, status)


def test_photo_of_a_reading_is_shown_beside_the_part_on_the_review_and_on_the_record(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    reading = next(r for r in shop.readings if r.place.part == PART and r.goes)

    answer = send(shop, a_photo_with_its_place(), reading=reading.id, note="Worn at its end")

    photo = shop.overhaul.photos[0]
    assert answer.status_code == 303
    assert (photo.part, photo.reading, photo.person) == (PART, reading.id, "M. Tarrow")
    assert "Photos 1" in words_of(shop.fitter.get(shop.url(f"/gauge/{PART}/closed-gap")).text)
    for path in (f"/photos/{PART}", "/decide", "/record"):
        page = shop.chief.get(shop.url(path)).text
        assert f'src="/photos/{photo.digest}"' in page, path
        assert "Worn at its end" in words_of(page), path


def test_picture_is_given_to_whoever_is_signed_in_and_kept_for_ever(book: Book) -> None:
    shop = Workshop(book).safe()
    send(shop, a_picture("PNG"), "a.png")
    address = f"/photos/{shop.overhaul.photos[0].digest}"

    given = shop.auditor.client.get(address)
    stranger = Visitor(shop.app).client.get(address, follow_redirects=False)

    assert (given.status_code, given.headers["content-type"]) == (200, "image/jpeg")
    assert given.content.startswith(b"\xff\xd8\xff")
    assert "immutable" in given.headers["cache-control"]
    assert given.headers["x-content-type-options"] == "nosniff"
    assert stranger.status_code == 303
    assert shop.auditor.client.get("/photos/nothing").status_code == 404


def test_photo_sent_twice_is_kept_once_and_its_identifier_never_stands_for_another(book: Book) -> None:
    shop = Workshop(book).safe()

    answers = [send(shop, a_picture(), id="made-by-the-tablet") for _ in range(2)]
    other = send(shop, a_picture(size=(10, 10)), id="made-by-the-tablet")

    assert [answer.status_code for answer in answers] == [303, 303]
    assert other.status_code == 422
    assert "stands for another photo" in said_beside(other.text, "photo")
    assert len(shop.overhaul.photos) == 1


def test_what_is_no_photo_is_refused_beside_its_field_with_what_was_typed(book: Book) -> None:
    shop = Workshop(book).safe()

    for content, said in ((b"no picture", "no picture"), (a_bomb(), "pixels"), (b"\0" * (21 << 20), "At most 20 MB")):
        answer = send(shop, content, note="of the gap")
        assert answer.status_code == 422
        assert said in said_beside(answer.text, "photo")
        assert typed_in(answer.text, "note") == "of the gap"
    assert "At most 200 characters" in said_beside(send(shop, a_picture(), note="x" * 201).text, "note")
    assert shop.overhaul.photos == ()


def test_photo_larger_than_anything_a_page_sends_is_stopped(book: Book) -> None:
    shop = Workshop(book).safe()

    assert send(shop, b"\0" * (41 << 20)).status_code == 413


def test_photo_of_what_is_not_there_is_refused(book: Book) -> None:
    shop = Workshop(book).safe()

    assert send(shop, a_picture(), part="9.ring").status_code == 404
    assert send(shop, a_picture(), reading="of-nothing").status_code == 404
    assert send(shop, a_picture(), id="short").status_code == 404
    assert shop.fitter.client.get(shop.url("/photos/9.ring")).status_code == 404


def test_wrong_photo_is_withdrawn_with_a_reason_and_stays_in_the_book(book: Book) -> None:
    shop = Workshop(book).safe()
    send(shop, a_picture())

    refused = withdraw(shop, "no", 422)
    withdraw(shop, "Another ring.")
    again = shop.fitter.post(
        shop.url(f"/photos/{PART}"), {"csrf": _csrf(shop), "photo_id": "nothing", "reason": "Another."}, 404
    )

    photo = shop.overhaul.photos[0]
    page = shop.auditor.get(shop.url(f"/photos/{PART}")).text
    assert "Say why" in said_beside(refused.text, "reason")
    assert again.status_code == 404
    assert photo.withdrawn is not None
    assert "Withdrawn photo by M. Tarrow" in words_of(page)
    assert "<img" not in page
    assert shop.auditor.client.get(f"/photos/{photo.digest}").status_code == 200


def _csrf(shop: Workshop) -> object:
    return form_of(shop.fitter.page, shop.url("/photos"))["csrf"]


def test_photo_is_sealed_by_its_digest_and_no_longer_withdrawn(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    before = canonical(content_for(shop.overhaul, Meaning.DECIDED))
    send(shop, a_picture())
    shop.fitter.get(shop.url(f"/photos/{PART}"))
    form = form_of(shop.fitter.page, shop.url(f"/photos/{PART}")) | {"reason": "Another ring."}

    sign_all(book, shop.id, shop.overhaul.photos[0].at, (Meaning.GAUGED, Meaning.DECIDED))

    with book.reading() as session:
        sealed = json.loads(get_signature_content(session, shop.id, Meaning.DECIDED))
    assert "photos" not in before
    assert [photo["digest"] for photo in sealed["photos"]] == [photo.digest for photo in shop.overhaul.photos]
    assert "Nothing was changed" in shop.fitter.follow(shop.fitter.post(shop.url(f"/photos/{PART}"), form)).text
    assert shop.overhaul.photos[0].stands


def test_photo_that_waited_on_a_tablet_keeps_when_it_was_taken_beside_when_it_was_stored(book: Book) -> None:
    shop = Workshop(book).all_gauged()

    send(shop, a_picture(), age="7200")
    send(shop, a_picture(size=(80, 50)))
    waited, plain = shop.overhaul.photos
    page = words_of(shop.fitter.get(shop.url(f"/photos/{PART}")).text)
    sealed = json.loads(canonical(content_for(shop.overhaul, Meaning.DECIDED)))["photos"]

    assert waited.taken_at is not None
    assert (waited.at - waited.taken_at).total_seconds() == 7200
    assert plain.taken_at is None
    assert ["taken_at" in photo for photo in sealed] == [True, False]
    assert page.count("M. Tarrow, taken ") == 1
    assert ", in the book " in page
    with book.reading() as session:
        assert verify_evidence(session) == []


def test_no_photo_is_added_to_a_machine_that_is_back_in_service_nor_by_a_reader(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.fitter.get(shop.url(f"/photos/{PART}"))
    form = form_of(shop.fitter.page, shop.url("/photos"))
    shop.auditor.get(shop.url(f"/photos/{PART}"))
    sign_all(book, shop.id, OPENED_AT)

    answer = shop.fitter.client.post(shop.url("/photos"), data=form, files={"photo": ("a.jpg", a_picture())})

    assert answer.status_code == 409
    assert 'type="file"' not in shop.auditor.page


def test_photo_has_its_entry_and_a_picture_changed_behind_the_book_shows(book: Book) -> None:
    shop = Workshop(book).safe()
    send(shop, a_picture())
    withdraw(shop, "Another ring.")
    digest = shop.overhaul.photos[0].digest

    with book.reading() as session:
        entries = [entry.what for entry in list_entries(session)][:2]
        sound = verify_evidence(session)
    with book.writer.begin() as connection:
        connection.exec_driver_sql("DROP TRIGGER photo_file_refuses_update")
        connection.exec_driver_sql("UPDATE photo_file SET content = x'00'")
    with book.reading() as session:
        altered = verify_evidence(session)

    assert entries == ["photo withdrawn", "photo added"]
    assert (sound, altered) == ([], [f"photo_file, {digest}"])


def test_backup_holds_the_pictures(book: Book, tmp_path: Path) -> None:
    shop = Workshop(book).safe()
    send(shop, a_picture())
    photo = shop.overhaul.photos[0]

    copy = back_up(book.path, tmp_path / "elsewhere" / "copy.db")

    restored = Book(Path(shutil.copy(copy, tmp_path / "restored.db")))
    with restored.reading() as session:
        assert verify_evidence(session) == []
    assert overhaul(restored, shop.id).photos == (photo,)
    restored.close()
