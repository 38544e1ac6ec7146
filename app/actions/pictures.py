"""Pictures made safe to keep: decoded and written anew, so that nothing is left of the file but what it shows.

Where it was taken, by which device, and whatever else was hidden in the file is gone with the old file.
"""

import re
import zipfile
from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO
from pathlib import PurePath
from threading import Lock
from typing import TYPE_CHECKING

from app.domain.errors import InputRefused

if TYPE_CHECKING:  # Pillow takes a tenth of a second to import, and most starts see no picture.
    from PIL import Image

MOST_BYTES = 20 * 1024 * 1024
MOST_PIXELS = 64_000_000
LONG_SIDE = 2048
QUALITY = 82
SMALL_SIDE, SMALL_QUALITY = 640, 75
ENDINGS = {
    "JPEG": ("jpg", "jpeg", "jpe", "jfif"),
    "MPO": ("jpg", "jpeg", "mpo"),  # several pictures in one JPEG file, as many telephones write it
    "PNG": ("png",),
    "WEBP": ("webp",),
}
NO_PICTURE = "This is no picture that can be read. Send a JPEG, PNG or WebP."
# What makes a file something else beside a picture: a page, a script, a document or an archive.
OTHERS = re.compile(rb"<script|<html|<!doctype|<svg|<\?php|%PDF-|Rar!\x1a\x07|7z\xbc\xaf\x27\x1c", re.IGNORECASE)
ONE_AT_A_TIME = Lock()  # A large picture takes hundreds of megabytes while it is decoded.


@dataclass(frozen=True)
class Picture:
    """A picture as it is kept: a JPEG with nothing in it but what it shows."""

    content: bytes
    width: int
    height: int

    @property
    def digest(self) -> str:
        """The digest over its bytes."""
        return sha256(self.content).hexdigest()


def safe_picture(content: bytes, name: str) -> Picture:
    """Decode a file that was sent and write it anew; InputRefused says what is wrong with it."""
    if not content:
        raise _refused("Take a photo, or choose a file.")
    if len(content) > MOST_BYTES:
        raise _refused(f"At most {MOST_BYTES // 1024 // 1024} MB.")
    from PIL import Image

    with ONE_AT_A_TIME:
        try:
            return _decoded(content, name)
        except InputRefused:
            raise
        except (Image.DecompressionBombError, Image.DecompressionBombWarning):
            raise _refused(_too_many()) from None
        except Exception as reason:  # whatever a decoder says of a damaged file, the file is no picture
            raise _refused(NO_PICTURE) from reason


def small_picture(content: bytes) -> bytes:
    """Make a kept picture small enough for a printed page; nothing where it is none."""
    from PIL import Image

    try:
        with Image.open(BytesIO(content), formats=("JPEG",)) as image:
            image.draft("RGB", (SMALL_SIDE, SMALL_SIDE))
            small = image.convert("RGB")
    except (OSError, SyntaxError, ValueError):
        return b""
    small.thumbnail((SMALL_SIDE, SMALL_SIDE))
    out = BytesIO()
    small.save(out, "JPEG", quality=SMALL_QUALITY, optimize=True)
    return out.getvalue()


def _decoded(content: bytes, name: str) -> Picture:
    """Decode a file of a format that is taken, and check it before its pixels are made."""
    from PIL import Image

    with Image.open(BytesIO(content), formats=("JPEG", "PNG", "WEBP")) as image:
        if image.width * image.height > MOST_PIXELS:
            raise _refused(_too_many())
        ending = PurePath(name).suffix.lower().removeprefix(".")
        if ending and ending not in ENDINGS[image.format or ""]:
            raise _refused(f"The file is named .{ending[:12]} and holds a {image.format}. Name it as what it is.")
        if OTHERS.search(content) or zipfile.is_zipfile(BytesIO(content)):
            raise _refused("The file is something else beside a picture. Send the picture alone.")
        image.draft("RGB", (LONG_SIDE, LONG_SIDE))
        return _written(image)


def _written(image: "Image.Image") -> Picture:
    """Turn a picture upright, put it on white, bring it to size, and write nothing but its pixels."""
    from PIL import Image, ImageOps

    upright = ImageOps.exif_transpose(image).convert("RGBA")
    upright.thumbnail((LONG_SIDE, LONG_SIDE))
    plain = Image.new("RGB", upright.size, "white")
    plain.paste(upright, mask=upright)
    out = BytesIO()
    plain.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Picture(out.getvalue(), *plain.size)


def _too_many() -> str:
    """Say how many pixels are taken."""
    return f"At most {MOST_PIXELS // 1_000_000} million pixels."


def _refused(words: str) -> InputRefused:
    """Refuse the photo."""
    return InputRefused({"photo": words})
