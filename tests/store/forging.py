"""A chain written anew as a whole by somebody who has the database and not the site's key."""

import json
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import Connection, text

from app.domain.canonical import canonical, digest
from app.domain.site_seal import statement
from app.store.book import Book
from app.store.site_key import SiteKey
from tests.store.behind import behind_the_book, past_the_book, sealed_tables


def rewrite(book: Book, leaves: str) -> None:
    """Do what somebody can do who has the database and not the key."""
    for table in sealed_tables(book):
        behind_the_book(book, table)
    own = None if leaves == "their signatures" else SiteKey(Ed25519PrivateKey.generate())
    content = canonical({"as_found": ["0.40"]})
    with past_the_book(book) as connection:
        if leaves == "no key":
            for statement in ("DELETE FROM entry WHERE seq = 1", "DELETE FROM site_key", "DELETE FROM signed_head"):
                connection.execute(text(statement))
        rows = connection.execute(text("SELECT * FROM entry ORDER BY seq")).mappings().all()
        connection.execute(text("DELETE FROM entry"))
        previous = ""
        for seq, row in enumerate(rows, 1):
            new = canonical(forged(json.loads(row["new"]), row["what"], digest(content), leaves, own))
            entry = {**row, "seq": seq, "previous": previous, "new": new}
            entry.pop("digest")
            previous = digest(canonical(entry))
            names = ", ".join(f'"{name}"' for name in (*entry, "digest"))
            values = ", ".join(f":{name}" for name in (*entry, "digest"))
            connection.execute(text(f"INSERT INTO entry ({names}) VALUES ({values})"), {**entry, "digest": previous})
            forge_rows(connection, row["what"], json.loads(new), content)
        forge_head(connection, len(rows), previous, own)


def forged(new: Any, what: str, sealed: str, leaves: str, own: SiteKey | None) -> Any:
    """What an entry is made to say."""
    if what == "reading entered":
        return {**new, "goes": "0.40", "goes_typed": "0.40"}
    if what == "signed":
        new = {**new, "digest": sealed}
        if leaves == "no key":
            return {**new, "site_key": None, "site_signature": None}
        return own.sign("seal", new) if own else new
    if what == "site key begun" and own:
        return {**new, "public_key": own.public_key, "fingerprint": own.fingerprint}
    return new


def forge_rows(connection: Connection, what: str, new: Any, content: str) -> None:
    """Make the rows say the same."""
    if what == "reading entered":
        connection.execute(text("UPDATE reading SET goes = '0.40', goes_typed = '0.40'"))
    if what == "signed":
        values = {name: new[name] for name in ("digest", "site_key", "site_signature")} | {"content": content}
        changed = ", ".join(f"{name} = :{name}" for name in values)
        connection.execute(text(f"UPDATE signature SET {changed}"), values)
    if what == "site key begun":
        connection.execute(text("UPDATE site_key SET public_key = :public_key, fingerprint = :fingerprint"), new)


def forge_head(connection: Connection, seq: int, taken: str, own: SiteKey | None) -> None:
    """Sign the new head as well as can be."""
    values = {"id": 1, "seq": seq, "digest": taken, "at": "2031-04-05T06:07:08.000009+00:00"}
    signature = own.private.sign(statement("head", values)).hex() if own else None
    changed = "UPDATE signed_head SET seq = :seq, digest = :digest, site_key = coalesce(:by, site_key)"
    changed += ", site_signature = coalesce(:signature, site_signature)"
    by = own.fingerprint if own else None
    connection.execute(text(changed), {"seq": seq, "digest": taken, "by": by, "signature": signature})
