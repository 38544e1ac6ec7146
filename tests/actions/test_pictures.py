"""Tests of pictures made safe to keep: upright, within size, and with nothing left of the file that was sent."""

import zipfile
from io import BytesIO

import pytest
from PIL import Image

from app.actions.pictures import LONG_SIDE, MOST_BYTES, safe_picture
from app.domain.errors import InputRefused
from tests.pictures import a_bomb, a_photo_with_its_place, a_picture


def an_archive_too() -> bytes:
    """A picture with an archive behind it."""
    out = BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("run.sh", "echo")
    return a_picture() + out.getvalue()


REFUSED = {
    "nothing": (b"", "a.jpg", "Take a photo"),
    "a text": (b"not a picture", "a.jpg", "no picture"),
    "half a picture": (a_picture(size=(600, 400))[:900], "a.jpg", "no picture"),
    "a format not taken": (a_picture("GIF"), "a.gif", "no picture"),
    "over the size": (a_picture() + b"\0" * MOST_BYTES, "a.jpg", "At most 20 MB"),
    "a bomb": (a_bomb(), "a.png", "million pixels"),
    "a smaller bomb": (a_bomb(9_000), "a.png", "million pixels"),
    "another ending": (a_picture("PNG"), "a.jpg", "named .jpg and holds a PNG"),
    "an ending of no picture": (a_picture(), "a.exe", "named .exe and holds a JPEG"),
    "a page too": (a_picture() + b"<SCRIPT>alert(1)</SCRIPT>", "a.jpg", "something else beside"),
    "a document too": (a_picture(comment=b"%PDF-1.7"), "a.jpg", "something else beside"),
    "an archive too": (an_archive_too(), "a.jpg", "something else beside"),
}


@pytest.mark.parametrize(("content", "name", "said"), REFUSED.values(), ids=REFUSED)
def test_what_is_no_plain_picture_is_refused_in_words(content: bytes, name: str, said: str) -> None:
    with pytest.raises(InputRefused) as refusal:
        safe_picture(content, name)

    assert said in refusal.value.fields["photo"]


def test_place_device_and_hidden_words_are_gone_and_the_picture_stands_upright() -> None:
    sent = a_photo_with_its_place()

    kept = safe_picture(sent, "a.jpg")

    with Image.open(BytesIO(sent)) as before, Image.open(BytesIO(kept.content)) as after:
        assert before.getexif()
        assert not after.getexif()
        assert "comment" not in after.info
        assert after.format == "JPEG"
        assert (after.size, (kept.width, kept.height)) == ((40, 60), (40, 60))
        top, bottom = (after.getpixel((20, row)) for row in (5, 55))
        assert isinstance(top, tuple)
        assert isinstance(bottom, tuple)
        assert top[1] < 80
        assert bottom[1] > 200


@pytest.mark.parametrize(("kind", "name"), [("JPEG", "a.JPEG"), ("PNG", "a.png"), ("WEBP", "a.webp"), ("PNG", "")])
def test_large_picture_is_brought_to_size_whatever_its_format(kind: str, name: str) -> None:
    kept = safe_picture(a_picture(kind, (4000, 1000)), name)

    assert (kept.width, kept.height) == (LONG_SIDE, LONG_SIDE // 4)
    assert len(kept.digest) == 64


def test_what_was_clear_is_white() -> None:
    out = BytesIO()
    Image.new("RGBA", (9, 9), (0, 0, 0, 0)).save(out, "PNG")

    kept = safe_picture(out.getvalue(), "a.png")

    with Image.open(BytesIO(kept.content)) as image:
        assert image.getpixel((4, 4)) == (255, 255, 255)
