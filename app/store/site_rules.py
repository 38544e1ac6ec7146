"""Rules of the site, each kept with who gave it or took it back."""

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field, Session, SQLModel, col, select

from app.domain.site_rules import RuleKind, SiteRule
from app.store.book import Writing


class SiteRuleRow(SQLModel, table=True):
    """One rule given or taken back; the last row on the same words counts."""

    __tablename__ = "site_rule"
    id: int | None = Field(default=None, primary_key=True)
    kind: str = Field(index=True)
    words: str = Field(sa_type=Text)
    is_in_force: bool
    person: str
    at: datetime


def save_site_rule(writing: Writing, kind: RuleKind, words: str, is_in_force: bool) -> None:
    """Keep that a rule was given, or taken back."""
    values: dict[str, object] = {"kind": kind.value, "words": words, "is_in_force": is_in_force}
    values |= {"person": writing.person, "at": writing.now}
    writing.insert(SiteRuleRow, **values)
    writing.enter("site rule changed", f"site rule {words}", None, values)


def list_site_rules(session: Session, kind: RuleKind) -> tuple[SiteRule, ...]:
    """List every rule of a kind in the order given."""
    rows = session.exec(select(SiteRuleRow).where(SiteRuleRow.kind == kind.value).order_by(col(SiteRuleRow.id)))
    return tuple(SiteRule(RuleKind(row.kind), row.words, row.is_in_force, row.person, row.at) for row in rows)
