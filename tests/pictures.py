"""Pictures as a tablet or a file would send them, each made by one call."""

import struct
import zlib
from io import BytesIO

from PIL import Image

ORIENTATION, LATITUDE_OF, GPS = 0x0112, 1, 0x8825


def a_picture(kind: str = "JPEG", size: tuple[int, int] = (60, 40), **saved: object) -> bytes:
    """A picture whose left half is red."""
    image = Image.new("RGB", size, "white")
    image.paste((200, 0, 0), (0, 0, size[0] // 2, size[1]))
    out = BytesIO()
    image.save(out, kind, **saved)
    return out.getvalue()


def a_photo_with_its_place() -> bytes:
    """A photo held sideways, that says where it was taken and by which device."""
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif[0x0110] = "Invented Tablet 7"
    exif.get_ifd(GPS)[LATITUDE_OF] = "N"
    return a_picture(exif=exif.tobytes(), comment=b"hidden words")


def a_bomb(side: int = 30_000) -> bytes:
    """A PNG of a few hundred bytes that says it is enormous."""

    def chunk(name: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))

    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 100)) + chunk(b"IEND", b"")
    )
