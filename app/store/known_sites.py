"""Keys of other sites in and out, as somebody here has marked them."""

from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from app.store.book import Writing
from app.store.foreign_rows import KnownSiteRow


@dataclass(frozen=True)
class KnownSite:
    """A key by its fingerprint, the site that it is known as, and who has marked it when."""

    fingerprint: str
    name: str
    is_known: bool
    person: str
    at: datetime


def save_known_site(writing: Writing, fingerprint: str, name: str, is_known: bool) -> None:
    """Keep a mark."""
    values = {"fingerprint": fingerprint, "name": name, "is_known": is_known}
    values |= {"person": writing.person, "at": writing.now}
    writing.insert(KnownSiteRow, **values)
    writing.enter("site key known" if is_known else "site key no longer known", f"key {fingerprint}", None, values)


def list_known_sites(session: Session) -> dict[str, KnownSite]:
    """Give the last mark of each key by its fingerprint, those no longer known too."""
    rows = session.exec(select(KnownSiteRow).order_by(col(KnownSiteRow.id)))
    return {r.fingerprint: KnownSite(r.fingerprint, r.name, r.is_known, r.person, r.at) for r in rows}
