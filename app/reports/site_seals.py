"""The site's signatures in an export: the keys one after another, what they signed, and the heads of the chain."""

import hashlib
import json
from collections.abc import Iterator
from typing import Any

from app.reports.ed25519 import is_signed_by

BEGUN = "site key begun"
SEALING = ("signed", "amendment signed", "amendment declined", "signature witnessed", "sheet approved")
THEIR_OWN = ("site_key", "site_signature")


def site_faults(export: dict[str, Any]) -> Iterator[str]:
    """Name every signature of the site that is missing or does not hold."""
    key: dict[str, Any] = {}
    for entry in export["entries"]:
        if entry["what"] == BEGUN:
            values = _stored(entry)
            yield from _key_faults(entry["seq"], values, key)
            key = values
        elif entry["what"] in SEALING and key:
            values = _stored(entry)
            values.pop("id", None)  # the row's own number, which is only known after it was signed
            is_its = values.get("site_key") == key.get("fingerprint")
            if not is_its or not _is_signed(key.get("public_key", ""), "seal", values):
                yield f"Entry {entry['seq']} ({entry['what']}) does not carry the signature of the site's key."
    yield from _head_faults(export)


def _stored(entry: dict[str, Any]) -> dict[str, Any]:
    """What an entry says was stored; nothing where that cannot be read."""
    try:
        stored = json.loads(entry["new"])
    except ValueError:
        return {}
    return stored if isinstance(stored, dict) else {}


def fingerprint_of(public_key: str) -> str:
    """Name a key as it is written down: half of its SHA-256 digest, in groups of four; nothing for what is no key."""
    try:
        digest = hashlib.sha256(bytes.fromhex(public_key)).hexdigest()
    except ValueError:
        return ""
    return "-".join(digest[place : place + 4] for place in range(0, 32, 4))


def signed_file_fault(written: bytes | None, content: bytes, public_key: str) -> str:
    """Say what is wrong with a signature written in a file over the bytes of another; nothing where it holds."""
    if written is None:
        return "is missing: the site has a key, and signs its manifests." if public_key else ""
    try:
        signed = json.loads(written)
        key, signature = signed["public_key"], signed["signature"]
        bytes.fromhex(key + signature)
        is_known = signed["algorithm"] == "Ed25519" and json.dumps(signed, indent=1).encode() == written
    except (ValueError, TypeError, KeyError):
        is_known = False
    if not is_known:
        return "is of a form that this verifier does not know."
    if key != public_key:
        return "is of a key that is not the site's, as the export has it."
    return (
        "" if is_signed_in_hex(key, content, signature) else "does not hold: the site's key did not sign this manifest."
    )


def _key_faults(seq: int, values: dict[str, Any], before: dict[str, Any]) -> Iterator[str]:
    """A key is called by its fingerprint, and was taken over with the signature of the one before, if it has any."""
    if values.get("fingerprint") != fingerprint_of(values.get("public_key", "")):
        yield f"Entry {seq}: the site's key is not of the fingerprint that is said."
    if values.get("site_signature") and not _is_signed(before.get("public_key", ""), "key", values):
        yield f"Entry {seq}: the site's key before did not sign that this one takes over."


def _head_faults(export: dict[str, Any]) -> Iterator[str]:
    """Hold the signed heads against their keys and, where their entries are in the export, against those."""
    keys = {row["fingerprint"]: row["public_key"] for row in export["site_key"]}
    digests = {entry["seq"]: entry["digest"] for entry in export["entries"]}
    for number, head in enumerate(export["signed_heads"], 1):
        if head["id"] != number:
            yield f"Signed head {number} is missing."
            return
        if not _is_signed(keys.get(head["site_key"], ""), "head", head):
            yield f"The head signed {head['at']} at entry {head['seq']} does not carry the signature of the site's key."
        elif digests.get(head["seq"], head["digest"] if export["scope"] != "book" else "") != head["digest"]:
            yield f"Entry {head['seq']} is not the one that the site's key signed {head['at']}."


def _is_signed(public_key: str, what: str, values: dict[str, Any]) -> bool:
    """Whether values carry the signature of a key over the very bytes that the site signs."""
    content = {name: value for name, value in values.items() if name not in THEIR_OWN}
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return is_signed_in_hex(public_key, f"wearbook {what}\n{text}".encode(), values.get("site_signature") or "")


def is_signed_in_hex(public_key: str, message: bytes, signature: str) -> bool:
    """Whether a signature holds, and is written as signatures are: in small letters, without anything between."""
    try:
        written, key = bytes.fromhex(signature), bytes.fromhex(public_key)
    except ValueError:
        return False
    return written.hex() == signature and is_signed_by(key, message, written)
