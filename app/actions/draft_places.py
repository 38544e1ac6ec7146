"""Places in the text of a limit sheet: what is typed goes into its place, and everything else stays as it is written.

tomlkit keeps comments, order and digits, so what no form shows survives a change to the letter.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import tomlkit

from app.domain.draft_values import Values, apart, as_typed, ends, key_of, shown, table, tables, words_between, written
from app.domain.sheet_faults import WrittenNumber
from app.domain.sheet_file import toml_values

ON_ONE_LINE_EACH = ("limit", "order", "item")


def text_of(values: Values) -> str:
    """Write tables as the text of a sheet's file."""
    document = tomlkit.document()
    for key, value in _plain_first(values):
        document[key] = _item(key, value)
    return tomlkit.dumps(document)


def changed(text: str, change: Callable[["Place"], object]) -> str:
    """Give the text with one change made in it."""
    document = tomlkit.parse(text)
    change(Place(document, toml_values(text)))
    return tomlkit.dumps(document)


def _item(key: str, value: object) -> Any:
    """Turn a value into an item of the file; numbers keep the digits they were typed with."""
    if isinstance(value, WrittenNumber):
        return tomlkit.value(value)
    if isinstance(value, dict):
        return {name: _item(name, each) for name, each in _plain_first(value)}
    if isinstance(value, list):
        return _listed(value) if key in ON_ONE_LINE_EACH else [_item("", each) for each in value]
    return value


def _plain_first(values: Values) -> list[tuple[str, object]]:
    """Put what stands in a table itself before the tables within it, as the file must have it."""
    return sorted(values.items(), key=lambda each: isinstance(each[1], dict) or bool(tables(values, each[0])))


def _listed(values: list[object]) -> Any:
    """Write a list of short tables, one a line."""
    array = tomlkit.array()
    for each in values:
        short = tomlkit.inline_table()
        short.update(_item("", each))
        array.append(short)
    return array.multiline(bool(values))


@dataclass(frozen=True)
class Place:
    """One table of the text: `node` is changed, `plain` is what stood there with its digits."""

    node: Any
    plain: Values

    def named(self, key: str, name: Callable[[Values], str] = key_of) -> list[tuple[str, "Place"]]:
        """Give the tables of a list by the names that a form knows them by."""
        nodes = tables(self.node, key)
        return [(own, Place(node, plain)) for (own, plain), node in zip(self._apart(key, name), nodes, strict=True)]

    def _apart(self, key: str, name: Callable[[Values], str]) -> list[tuple[str, Values]]:
        """Name the tables of a list as they stood."""
        return apart(tables(self.plain, key), name)

    def within(self, key: str) -> "Place":
        """Give a table within this one, made where there is none."""
        if not isinstance(self.node.get(key), dict):
            self.node[key] = tomlkit.table()
        return Place(self.node[key], table(self.plain, key))

    def put_text(self, key: str, typed: str | None, default: str = "", *, is_kept_empty: bool = False) -> None:
        """Put a text in; an empty one takes the key out, unless it is kept as still to be filled in."""
        if typed is None or as_typed(typed) == (as_typed(shown(self.plain.get(key))) or default):
            return
        self._put(key, as_typed(typed), is_kept_empty=is_kept_empty)

    def put_size(self, key: str, typed: str | None, *, is_kept_empty: bool = False) -> None:
        """Put a number or a size in, with the digits it was typed with."""
        if typed is None or typed.strip() == shown(self.plain.get(key)):
            return
        self._put(key, written(typed), is_kept_empty=is_kept_empty)

    def put_list(
        self, key: str, typed: str | None, each: Callable[[str], object] = str.strip, default: str = ""
    ) -> None:
        """Put a list in that was typed with commas or semicolons between."""
        if typed is None or as_typed(typed) == (shown(self.plain.get(key)) or default):
            return
        self._put(key, [each(word) for word in words_between(typed)])

    def put_range(self, key: str, lower: str | None, upper: str | None) -> None:
        """Put a range in; both ends empty take it out, one empty is still to be filled in."""
        if lower is None or upper is None or (lower.strip(), upper.strip()) == ends(self.plain.get(key)):
            return
        self._put(key, [written(lower), written(upper)] if lower.strip() or upper.strip() else [])

    def put_texts(self, key: str, texts: list[str]) -> None:
        """Put a list of texts in as it is."""
        if texts != self.plain.get(key, []):
            self._put(key, texts)

    def put_new(self, key: str, value: object) -> None:
        """Put a whole table or list in."""
        self.node[key] = _item(key, value)

    def drop(self, key: str) -> None:
        """Take a key out."""
        self.node.pop(key, None)

    def _put(self, key: str, value: object, *, is_kept_empty: bool = False) -> None:
        """Put a value in, or take the key out where there is none."""
        if value in ("", []) and not is_kept_empty:
            self.node.pop(key, None)
        else:
            self.node[key] = _item(key, value)

    def add(self, key: str, values: Mapping[str, object]) -> None:
        """Add a table to a list, which is made where there is none."""
        listed = self.node.get(key)
        if not isinstance(listed, list) or not listed:
            self.node.pop(key, None)
            self.node[key] = _item(key, [dict(values)])
        elif isinstance(listed, tomlkit.items.Array):
            short = tomlkit.inline_table()
            short.update(_item("", dict(values)))
            listed.append(short)
        else:
            listed.append(_item("", dict(values)))

    def remove(self, key: str, which: "Place") -> None:
        """Take a table out of a list; an empty list goes with it."""
        listed = self.node[key]
        del listed[next(place for place, each in enumerate(listed) if each is which.node)]
        if not listed:
            self.node.pop(key)
