"""An export as one JSON text, written piece by piece."""

import json
from collections.abc import Iterator, Mapping


def export_json(
    head: Mapping[str, object], lists: Iterator[tuple[str, Iterator[dict[str, object]]]]
) -> Iterator[bytes]:
    """Write the head, then every list with one row a line."""
    yield _text(head)[:-1].encode()
    for name, rows in lists:
        yield f",\n{_text(name)}: [".encode()
        between = "\n"
        for row in rows:
            yield (between + _text(row)).encode()
            between = ",\n"
        yield b"\n]"
    yield b"}\n"


def _text(content: object) -> str:
    """Write a piece of JSON on one line."""
    return json.dumps(content, ensure_ascii=False)
