"""Tests of verifying Ed25519 signatures by the standard library alone: vectors, another library, forgeries."""

import random

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from app.reports.ed25519 import ORDER, PRIME, is_signed_by

# RFC 8032 (January 2017), section 7.1, tests 1, 2, 3 and SHA(abc): secret key, public key, message, signature.
# Written from memory and not held against the text; the library signs and verifies them alike, as a test below asks.
VECTORS = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
    (
        "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
        "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
        "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f",
        "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
    ),
]


@pytest.mark.parametrize(("secret", "public", "message", "signature"), VECTORS)
def test_published_vector_verifies_and_no_other_message_does(
    secret: str, public: str, message: str, signature: str
) -> None:
    key, said, signed = (bytes.fromhex(each) for each in (public, message, signature))

    # That these are the published vectors and no misprint of them, another library says.
    assert Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret)).sign(said) == signed
    assert is_signed_by(key, said, signed)
    assert not is_signed_by(key, said + b"\0", signed)


def test_what_another_library_signs_verifies_and_every_flipped_bit_in_samples_does_not() -> None:
    chance = random.Random(8032)
    for length in (0, 1, 63, 64, 65, 1000):
        secret = Ed25519PrivateKey.from_private_bytes(chance.randbytes(32))
        public = secret.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)
        message = chance.randbytes(length)
        signature = secret.sign(message)
        flipped = [_flip(signature, chance.randrange(512)) for _ in range(6)]

        assert is_signed_by(public, message, signature)
        assert not any(is_signed_by(public, message, each) for each in flipped)
        assert not is_signed_by(_flip(public, chance.randrange(256)), message, signature)


def test_second_form_of_a_scalar_and_points_that_are_none_are_refused() -> None:
    """RFC 8032, section 5.1.7: the scalar lies below the order; section 5.1.3: y lies below the prime."""
    secret = Ed25519PrivateKey.from_private_bytes(bytes(32))
    public = secret.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)
    signature = secret.sign(b"gap 0.60")
    again = int.from_bytes(signature[32:], "little") + ORDER
    no_point = PRIME.to_bytes(32, "little")

    assert not is_signed_by(public, b"gap 0.60", signature[:32] + again.to_bytes(32, "little"))
    assert not is_signed_by(no_point, b"gap 0.60", signature)
    assert not is_signed_by(public, b"gap 0.60", no_point + signature[32:])
    assert not is_signed_by(public, b"gap 0.60", (1 + 2**255).to_bytes(32, "little") + signature[32:])
    assert not is_signed_by(public[:31], b"gap 0.60", signature)
    assert not is_signed_by(public, b"gap 0.60", signature[:63])


def _flip(content: bytes, bit: int) -> bytes:
    return bytes(each ^ (1 << bit % 8) if place == bit // 8 else each for place, each in enumerate(content))
