"""The site's signatures in the book: the key begun as an entry, the heads it signs, and whether all of them hold."""

import json
from collections.abc import Iterator
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from app.domain.canonical import canonical
from app.domain.site_seal import fingerprint
from app.store.chain import ENTRY, ROWS_AT_ONCE, append_entry, chain_head, change_of
from app.store.raw_cells import RawCells
from app.store.rows import insert_into, table_of
from app.store.site_key import KeyRefused, SiteKey, is_signed
from app.store.site_rows import SignedHeadRow, SiteKeyRow

SITE, SUBJECT, BEGUN = "the site", "site key", "site key begun"
KEY, HEAD = table_of(SiteKeyRow), table_of(SignedHeadRow)
# The kinds of entry that the site's key signs.
SEALING = ("signed", "amendment signed", "amendment declined", "signature witnessed", "sheet approved")

Row = dict[str, Any]


def list_keys(session: Session) -> list[Row]:
    """List the keys that have signed for the site, in the order in which they took over."""
    return [dict(row) for row in session.connection().execute(select(KEY).order_by(KEY.c.id)).mappings()]


def keys_as_kept(session: Session) -> tuple[Row, ...]:
    """Give the keys to be shown; none where a cell of them cannot be read, which is a fault by itself."""
    try:
        return tuple(list_keys(session))
    except (DBAPIError, ValueError, TypeError):
        return ()


def has_site_signature(session: Session) -> bool:
    """Whether anything in the book says that a site's key has signed it, or cannot be read: a key, a head, a seal."""
    try:
        if list_keys(session) or signatures_of_heads(session):
            return True
        asked = select(ENTRY.c.what, ENTRY.c.new).where(ENTRY.c.what.in_((BEGUN, *SEALING)))
        with session.connection().execute(asked.execution_options(yield_per=ROWS_AT_ONCE)) as entries:
            return any(what == BEGUN or json.loads(new).get("site_key") for what, new in entries)
    except (DBAPIError, ValueError, TypeError):
        return True


def current_public_key(session: Session) -> str:
    """Give the public key that signs now; nothing where none has begun."""
    newest = select(KEY.c.public_key).order_by(KEY.c.id.desc()).limit(1)
    return session.connection().execute(newest).scalar_one_or_none() or ""


def begin_key(session: Session, person: str, now: datetime, key: SiteKey, reason: str, by: SiteKey | None) -> None:
    """Enter that a key signs from now on; where there is one before it, that one signs for it."""
    values: Row = {"id": len(list_keys(session)) + 1, "public_key": key.public_key, "fingerprint": key.fingerprint}
    values |= {"reason": reason, "at": now}
    values = by.sign("key", values) if by else {**values, "site_key": "", "site_signature": ""}
    session.connection().execute(insert_into(SiteKeyRow), values)
    append_entry(session, person, now, change_of(BEGUN, SUBJECT, None, values, reason))


def must_sign_for(session: Session, key: SiteKey) -> bool:
    """Whether a key has begun in this book; KeyRefused where another one signs for it."""
    current = current_public_key(session)
    if current and current != key.public_key:
        raise KeyRefused(
            f"This book is signed by the site's key {fingerprint(current)}, and the key here is {key.fingerprint}. "
            "Nothing was stored. Let WEARBOOK_SITE_KEY name the file of that key; where it is lost, a new one is begun "
            "by: python -m app new-key"
        )
    return bool(current)


def save_head(session: Session, key: SiteKey, now: datetime) -> None:
    """Sign where the chain stands, unless that is signed already."""
    seq, digest = chain_head(session)
    newest = session.connection().execute(select(HEAD.c.id, HEAD.c.seq).order_by(HEAD.c.id.desc()).limit(1)).first()
    number, signed = newest or (0, 0)
    if seq != signed:
        values = key.sign("head", {"id": number + 1, "seq": seq, "digest": digest, "at": now})
        session.connection().execute(insert_into(SignedHeadRow), values)


def newest_head_at(session: Session) -> datetime | None:
    """Give when a head was signed last."""
    newest = select(HEAD.c.at).order_by(HEAD.c.id.desc()).limit(1)
    return session.connection().execute(newest).scalar_one_or_none()


def list_heads(session: Session, after: int = 0) -> list[Row]:
    """List the signed heads as JSON has them, beyond a number; NotAsWritten where a cell only reads like one."""
    connection = session.connection()
    cells = RawCells(HEAD, connection.dialect)
    rows = connection.execute(cells.select.where(HEAD.c.id > after).order_by(HEAD.c.id)).mappings()
    return [json.loads(canonical(cells.values(row))) for row in rows]


def signatures_of_heads(session: Session) -> set[str]:
    """Give the signatures of all heads that the book holds."""
    return set(session.connection().execute(select(HEAD.c.site_signature)).scalars())


def entry_digest(session: Session, seq: int) -> str:
    """Give the digest of an entry; nothing where there is no such entry."""
    found = session.connection().execute(select(ENTRY.c.digest).where(ENTRY.c.seq == seq)).scalar_one_or_none()
    return found or ""


def signature_faults(session: Session) -> list[str]:
    """Name every signature of the site that is missing or does not hold."""
    faults: list[str] = []
    for check, where in ((_unsigned, "The site's seals"), (_head_faults, "signed_head")):
        try:
            faults += check(session)
        except (DBAPIError, ValueError, TypeError, KeyError, ArithmeticError) as reason:
            faults.append(f"{where}, which the site's key has signed, cannot be read ({type(reason).__name__}).")
    return faults


def head_fault(session: Session, row: Row) -> str:
    """Say what is wrong with a signed head; nothing where it holds."""
    public = select(KEY.c.public_key).where(KEY.c.fingerprint == row["site_key"]).limit(1)
    key = session.connection().execute(public).scalar_one_or_none()
    if not is_signed(str(key), "head", row):
        return f"The head signed {row['at']} at entry {row['seq']} does not carry the signature of the site's key."
    if entry_digest(session, row["seq"]) != row["digest"]:
        return (
            f"Entry {row['seq']} is not the one that the site's key signed {row['at']}: the chain was cut or rewritten."
        )
    return ""


def _head_faults(session: Session) -> Iterator[str]:
    """Go through the signed heads, which are counted."""
    for number, row in enumerate(list_heads(session), 1):
        fault = head_fault(session, row) if row["id"] == number else "It is missing."
        if fault:
            yield f"signed_head, row {number}: {fault}"
            return


def _unsigned(session: Session) -> Iterator[str]:
    """Go through what the site's key signs, in the order of the chain; each by the key of its time."""
    kinds = ENTRY.c.what.in_((BEGUN, *SEALING))
    asked = select(ENTRY.c.seq, ENTRY.c.what, ENTRY.c.new).where(kinds).order_by(ENTRY.c.seq)
    key: Row = {}
    with session.connection().execute(asked.execution_options(yield_per=ROWS_AT_ONCE)) as entries:
        for seq, what, new in entries:
            values: Row = json.loads(new)
            if what != BEGUN:
                values.pop("id", None)  # The row's own number, which is only known after it was signed.
            if what == BEGUN:
                yield from _key_faults(seq, values, key)
                key = values
            elif key and (values.get("site_key"), True) != (
                key["fingerprint"],
                is_signed(key["public_key"], "seal", values),
            ):
                yield f"Entry {seq} ({what}) does not carry the signature of the site's key {key['fingerprint']}."


def _key_faults(seq: int, values: Row, before: Row) -> Iterator[str]:
    """A key is called by its fingerprint, and taken over with the signature of the one before, if it has any."""
    if values["fingerprint"] != fingerprint(values["public_key"]):
        yield f"Entry {seq}: the site's key is not of the fingerprint that is said."
    if values["site_signature"] and not is_signed(before.get("public_key", ""), "key", values):
        yield f"Entry {seq}: the site's key before did not sign that this one takes over."
