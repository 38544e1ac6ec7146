"""On which line of a limit sheet's file each table and key stands."""

import re

Path = tuple[str | int, ...]

DEEPEST = 12
# Strings and comments. A closing quote may be missing, so that no text makes the search slow.
QUOTED = re.compile(r'"""(?:.*?""")?|\'\'\'(?:.*?\'\'\')?|"(?:[^"\\\n]++|\\.)*+"?|\'[^\'\n]*+\'?|#[^\n]*')
KEY = re.compile(r"([\w\-\"'. \t]++)=")
HEADER = re.compile(r"\s*+(\[\[?)([^\[\]]+)\]")
BRACKET = re.compile(r"[\[\]{}]")
DOTTED = re.compile(rf"(?<![\w-])(?:[\w-]++[ \t]*+\.[ \t]*+){{{DEEPEST}}}")


def lines_by_path(text: str) -> dict[Path, int]:
    """Number the tables and keys of a text that is known to be TOML, lines counted from 1."""
    scan = _Scan()
    for number, line in enumerate(text.split("\n"), start=1):
        scan.see(number, line)
    return scan.lines


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """Give the line of a path, or of the nearest table around it."""
    shorter = (path[:length] for length in range(len(path), 0, -1))
    return next((lines[part] for part in shorter if part in lines), None)


def too_deep_line(text: str) -> int | None:
    """Find a key of a depth that no sheet has, which would keep the TOML reader busy for hours."""
    bare = QUOTED.sub(lambda quoted: "" if quoted[0].startswith("#") else "k", text)
    deep = DOTTED.search(bare)
    return bare.count("\n", 0, deep.start()) + 1 if deep else None


class _Scan:
    """Goes down a file line by line and remembers which table and which open list it is in."""

    def __init__(self) -> None:
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}
        self.table: Path = ()
        self.key: Path = ()
        self.open_quote = ""
        self.open_lists = 0
        self.open_tables = 0
        self.items = 0

    def see(self, number: int, line: str) -> None:
        """Take one line in."""
        if self.open_quote:
            self.open_quote = "" if self.open_quote in line else self.open_quote
            return
        bare = QUOTED.sub(self._without, line)
        if self.open_lists == 0 and self._is_new(number, line):
            bare = bare.partition("=")[2]
        self._count_items(number, bare)

    def _without(self, quoted: re.Match[str]) -> str:
        """Take a string or comment out of the line, and remember a string that goes on below it."""
        if quoted[0] in ('"""', "'''"):
            self.open_quote = quoted[0]
        return ""

    def _is_new(self, number: int, line: str) -> bool:
        """Whether the line starts a table or a key; both are numbered."""
        header, key = HEADER.match(line), KEY.match(line)
        if header:
            self._enter(header[1], _names(header[2]))
            self._number(self.table, number)
        elif key:
            self.key, self.items = (*self.table, *_names(key[1])), 0
            self._number(self.key, number)
        return bool(header or key)

    def _enter(self, brackets: str, names: list[str]) -> None:
        """Enter the table that a header names; of a list of tables, the last one so far."""
        path: Path = ()
        for position, name in enumerate(names, start=1):
            path = (*path, name)
            if brackets == "[[" and position == len(names):
                self.counts[path] = self.counts.get(path, 0) + 1
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
        self.table = path

    def _count_items(self, number: int, bare: str) -> None:
        """Number each inline table of an open list."""
        for bracket in BRACKET.findall(bare):
            if bracket == "{" and self.open_lists == 1 and self.open_tables == 0:
                self._number((*self.key, self.items), number)
                self.items += 1
            self.open_lists += {"[": 1, "]": -1}.get(bracket, 0)
            self.open_tables += {"{": 1, "}": -1}.get(bracket, 0)

    def _number(self, path: Path, number: int) -> None:
        """Keep the first line of a path and of every table around it."""
        for length in range(len(path), 0, -1):
            self.lines.setdefault(path[:length], number)


def _names(written: str) -> list[str]:
    """Part a dotted key into its names."""
    return [_unquoted(name) for name in written.split(".")]


def _unquoted(name: str) -> str:
    """Take the quotes off a key."""
    return name.strip().strip("\"'")
