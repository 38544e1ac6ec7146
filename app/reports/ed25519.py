"""Ed25519 signatures, verified with the standard library alone (RFC 8032, January 2017, sections 5.1 and 6)."""

import hashlib
from functools import lru_cache

# The prime of the field, the order of the base point, and the constant of the curve, from section 5.1, table 1.
PRIME = 2**255 - 19
ORDER = 2**252 + 27742317777372353535851937790883648493
CURVE = -121665 * pow(121666, PRIME - 2, PRIME) % PRIME
ROOT_OF_MINUS_ONE = pow(2, (PRIME - 1) // 4, PRIME)
Point = tuple[int, int, int, int]  # extended homogeneous coordinates, section 5.1.4
NEUTRAL: Point = (0, 1, 1, 0)


@lru_cache(maxsize=4096)
def is_signed_by(public_key: bytes, message: bytes, signature: bytes) -> bool:
    """Whether a message carries the signature of a key, by section 5.1.7 without the factor of eight."""
    if len(public_key) != 32 or len(signature) != 64:
        return False
    key, first = _point(public_key), _point(signature[:32])
    scalar = int.from_bytes(signature[32:], "little")
    if key is None or first is None or scalar >= ORDER:
        return False
    hashed = hashlib.sha512(signature[:32] + public_key + message).digest()
    challenge = int.from_bytes(hashed, "little") % ORDER
    return _is_same(_times(scalar, BASE), _sum(first, _times(challenge, key)))


def _point(encoded: bytes) -> Point | None:
    """Decode a point, by section 5.1.3; None where the bytes are none."""
    y = int.from_bytes(encoded, "little")
    sign, y = y >> 255, y & ((1 << 255) - 1)
    if y >= PRIME:
        return None
    square = (y * y - 1) * pow(CURVE * y * y + 1, PRIME - 2, PRIME) % PRIME
    x = pow(square, (PRIME + 3) // 8, PRIME)
    if x * x % PRIME != square:
        x = x * ROOT_OF_MINUS_ONE % PRIME
    if x * x % PRIME != square or (x == 0 and sign):
        return None
    x = x if x & 1 == sign else PRIME - x
    return x, y, 1, x * y % PRIME


def _sum(one: Point, other: Point) -> Point:
    """Add two points, by section 5.1.4; it holds for a point and itself too."""
    a = (one[1] - one[0]) * (other[1] - other[0]) % PRIME
    b = (one[1] + one[0]) * (other[1] + other[0]) % PRIME
    c = 2 * one[3] * other[3] * CURVE % PRIME
    d = 2 * one[2] * other[2] % PRIME
    e, f, g, h = b - a, d - c, d + c, b + a
    return e * f % PRIME, g * h % PRIME, f * g % PRIME, e * h % PRIME


def _times(scalar: int, point: Point) -> Point:
    """Add a point to itself so many times; it need not take the same time for all, as nothing here is secret."""
    found = NEUTRAL
    while scalar:
        if scalar & 1:
            found = _sum(found, point)
        point = _sum(point, point)
        scalar >>= 1
    return found


def _is_same(one: Point, other: Point) -> bool:
    """Whether two points are the same, in whichever coordinates."""
    return (one[0] * other[2] - other[0] * one[2]) % PRIME == 0 and (one[1] * other[2] - other[1] * one[2]) % PRIME == 0


def _base() -> Point:
    """The base point, whose y is four fifths."""
    found = _point((4 * pow(5, PRIME - 2, PRIME) % PRIME).to_bytes(32, "little"))
    assert found is not None  # noqa: S101 - it lies on the curve
    return found


BASE = _base()
