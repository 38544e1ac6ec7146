"""Files as answers: named, sent as they come, and never shown in the place of a page."""

from collections.abc import Iterable
from urllib.parse import quote

from fastapi.responses import StreamingResponse

PDF = "application/pdf"


def download(name: str, kind: str, content: Iterable[bytes]) -> StreamingResponse:
    """Send a file under its name; a browser that knows only plain names gets one without the others' letters."""
    plain = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-_.") else "_" for sign in name)
    names = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"
    return StreamingResponse(content, media_type=kind, headers={"content-disposition": names})


def in_pieces(content: bytes, size: int = 64 * 1024) -> Iterable[bytes]:
    """Cut a file that is there already into pieces."""
    return (content[start : start + size] for start in range(0, len(content), size))
