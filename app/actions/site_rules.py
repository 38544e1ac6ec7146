"""The site's own rules: a chief engineer gives them and takes them back; an opening is held to them."""

from datetime import datetime

from sqlmodel import Session

from app.domain.errors import InputRefused
from app.domain.people import Person, Right
from app.domain.site_rules import LONGEST_RULE, MOST_LINES, RuleKind, SiteRule, in_force, standby_words
from app.store.book import Book
from app.store.machines import list_machines
from app.store.overhauls import find_open_overhaul
from app.store.site_rules import list_site_rules, save_site_rule


def site_rules(book: Book) -> tuple[SiteRule, ...]:
    """Give every rule ever given, in its order."""
    with book.reading() as session:
        return tuple(rule for kind in RuleKind for rule in list_site_rules(session, kind))


def change_rule(book: Book, by: Person, kind: RuleKind, words: str, is_in_force: bool, now: datetime) -> None:
    """Give a rule or take it back; said twice, it is kept once."""
    by.must(Right.MANAGE_MACHINES)
    text = " ".join(words.split())
    if not text or len(text) > LONGEST_RULE:
        raise InputRefused({"words": f"Say it in a few words, at most {LONGEST_RULE} signs."})
    with book.writing(by.name, now) as writing:
        standing = in_force(list_site_rules(writing.session, kind), kind)
        if is_in_force is (text in [rule.words for rule in standing]):
            return
        if is_in_force:
            _check(writing.session, kind, text, len(standing))
        save_site_rule(writing, kind, text, is_in_force)


def _check(session: Session, kind: RuleKind, text: str, standing: int) -> None:
    """Refuse a fourth line of making safe, and a standby rule on machines that are not in the book."""
    if kind is RuleKind.SAFE_LINE and standing >= MOST_LINES:
        raise InputRefused({"words": f"The list stays short: at most {MOST_LINES} lines of the site's own."})
    if kind is RuleKind.STANDBY:
        tags = [part.strip() for part in text.split(",")]
        known = {machine.tag for machine in list_machines(session)}
        if len(set(tags)) < 2 or not set(tags) <= known:
            raise InputRefused({"words": "Name two machines of this book or more by their tags, such as GA-1, GA-2."})


def require_standby(session: Session, by: Person, tag: str, reason: str, refused: dict[str, str]) -> str:
    """Hold an opening to the standby rules: give the chief engineer's reason against one, or refuse in words."""
    machines = list_machines(session)
    open_tags = tuple(machine.tag for machine in machines if find_open_overhaul(session, machine.id))
    rules = in_force(list_site_rules(session, RuleKind.STANDBY), RuleKind.STANDBY)
    broken = [words for rule in rules if (words := standby_words(rule, tag, open_tags))]
    if not broken:
        return ""
    if not by.may(Right.DECIDE):
        refused["standby_reason"] = f"{broken[0]} A chief engineer may open it, with a reason."
    elif not reason.strip():
        refused["standby_reason"] = f"{broken[0]} Give the reason why it is opened all the same."
    return f"{reason.strip()} ({broken[0]})"
