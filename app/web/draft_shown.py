"""What the forms of a limit sheet in the making show of what they ask: each field with what stands in it."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.actions.draft_asked import Asked, How, Listed
from app.actions.draft_put import NEW, words_of
from app.domain.draft_values import Values, apart, ends, shown, tables


@dataclass(frozen=True)
class AskedField:
    """One field: its name on the form, what is asked, and what stands in it."""

    name: str
    asked: Asked
    value: str
    hint: str = ""
    lower: str = ""
    upper: str = ""
    words: tuple[str, ...] = ()  # of ticks: those that stand
    options: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Row:
    """One short table of a list, with the lists within it."""

    at: str
    title: str
    fields: tuple[AskedField, ...]
    within: tuple["ListShown", ...] = ()


@dataclass(frozen=True)
class ListShown:
    """A list of short tables, and the fields of one more."""

    at: str
    one: str
    rows: tuple[Row, ...]
    new: tuple[AskedField, ...]


def asked_fields(asked: Sequence[Asked], values: Values, prefix: str = "", kind: str = "") -> tuple[AskedField, ...]:
    """Give the fields of a table of some kind."""
    return tuple(_field(each, values, prefix + each.key) for each in asked if each.belongs(values, kind))


def new_fields(asked: Sequence[Asked], prefix: str) -> tuple[AskedField, ...]:
    """Give the fields of a table that is to be added; what only some kinds have says so."""
    return tuple(_field(each, {}, prefix + each.key, is_new=True) for each in asked)


def _field(asked: Asked, values: Values, name: str, *, is_new: bool = False) -> AskedField:
    """Give one field; a word that is none of the choices is shown among them, so that it is not lost."""
    value = shown(values.get(asked.key)) or asked.default
    options = asked.options if asked.how is not How.TICKS else ()
    if asked.unsaid and values and asked.key not in values:
        options = (("", asked.unsaid), *options[1:])
    if value and options and value not in dict(options):
        options = (*options, (value, value))
    only = f"Of a {' or '.join(asked.only)}. " if is_new and asked.only else ""
    words = tuple(words_of(values, asked.key)) if asked.how is How.TICKS else ()
    return AskedField(name, asked, value, only + asked.hint, *ends(values.get(asked.key)), words, options)


def listed_shown(listed: Listed, values: Values, prefix: str = "") -> ListShown:
    """Give a list of short tables as a form shows it."""
    at = f"{prefix}{listed.key}"
    named = apart(tables(values, listed.key), listed.name_of)
    rows = tuple(_row(listed, each, f"{at}/{name}", number) for number, (name, each) in enumerate(named, start=1))
    return ListShown(at, listed.one, rows, new_fields(listed.asked, f"{at}/{NEW}/"))


def _row(listed: Listed, values: Values, at: str, number: int) -> Row:
    """Give one table of a list."""
    title = shown(values.get("name")) or shown(values.get(listed.asked[0].key)) or f"{listed.one} {number}"
    within = tuple(listed_shown(each, values, f"{at}/") for each in listed.within)
    kind = shown(values.get("kind")) or next((each.default for each in listed.asked if each.key == "kind"), "")
    return Row(at, title, asked_fields(listed.asked, values, f"{at}/", kind), within)
