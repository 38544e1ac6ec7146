"""Rules of a site: its own lines of making safe, and machines that are never open together."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

MOST_LINES = 3  # the list of making safe stays short
LONGEST_RULE = 160


class RuleKind(StrEnum):
    """What a rule is; the value is the wording shown on pages."""

    SAFE_LINE = "a line of making safe"
    STANDBY = "never open together"


@dataclass(frozen=True)
class SiteRule:
    """One rule as a chief engineer gave it, or took it back."""

    kind: RuleKind
    words: str
    is_in_force: bool
    person: str
    at: datetime

    @property
    def tags(self) -> tuple[str, ...]:
        """The machines of a standby rule."""
        return tuple(tag for tag in (part.strip() for part in self.words.split(",")) if tag)


def in_force(rules: tuple[SiteRule, ...], kind: RuleKind, at: datetime | None = None) -> tuple[SiteRule, ...]:
    """Give the rules of a kind that stand, or stood at a moment; the last word on each counts."""
    last: dict[str, SiteRule] = {}
    for rule in rules:
        if rule.kind is kind and (at is None or rule.at <= at):
            last[rule.words] = rule
    return tuple(rule for rule in last.values() if rule.is_in_force)


def standby_words(rule: SiteRule, tag: str, open_tags: tuple[str, ...]) -> str:
    """Say why a machine is not to be opened now by a standby rule; nothing where none of the others is open."""
    if tag not in rule.tags:
        return ""
    others = [other for other in rule.tags if other != tag and other in open_tags]
    if not others:
        return ""
    kept = " and ".join(rule.tags)
    return (
        f"{' and '.join(others)} {'is' if len(others) == 1 else 'are'} open, and the site never opens {kept} together."
    )
