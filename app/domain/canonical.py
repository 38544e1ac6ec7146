"""The one way in which content is written as text before a digest is taken over it."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime
from decimal import Decimal


def canonical(content: object) -> str:
    """Write content as JSON with sorted keys and no spaces; decimals and moments become text.

    >>> canonical({"b": Decimal("0.70"), "a": ["µm"]})
    '{"a":["µm"],"b":"0.70"}'
    """
    return WRITER.encode(content)


def digest(content: str) -> str:
    """Give the SHA-256 digest of a text, in hexadecimal."""
    return hashlib.sha256(content.encode()).hexdigest()


def moment_text(moment: datetime) -> str:
    """Write an aware moment in UTC to the microsecond, so that the texts sort as the moments do."""
    if moment.utcoffset() is None:
        raise ValueError("a moment without its time zone is no evidence")
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def as_dict(content: object) -> dict[str, object]:
    """Lay a dataclass out by its fields."""
    if is_dataclass(content) and not isinstance(content, type):
        return {field.name: getattr(content, field.name) for field in fields(content)}
    raise TypeError(f"{type(content).__name__} has no place in the record")


def _plain(content: object) -> object:
    """Turn what JSON does not know into what it knows."""
    match content:
        case Decimal():
            return str(content)
        case datetime():
            return moment_text(content)
        case date():
            return content.isoformat()
        case Mapping():
            return dict(content)
    return as_dict(content)


WRITER = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, default=_plain)
