"""The tables of a limit sheet in the making, which may hold anything: typed text in and out, and never an error."""

import re
from collections.abc import Callable, Iterable

from app.domain.sheet_faults import WrittenNumber

Values = dict[str, object]

NUMBER = re.compile(r"(-?(?:0|[1-9][0-9]{0,6}))(?:[.,]([0-9]{1,12}))?([eE]-?[0-9]{1,2})?")
BOUNDS = ("upper", "lower", "per_bore", "per_stroke")


def written(typed: str) -> object:
    """Give what a typed text is in the file: a plain number as a number, all else as text, for the reader to judge.

    >>> written("0,70"), written("12"), written("11.5e-6"), written("0.709 in")
    ('0.70', 12, '11.5e-6', '0.709 in')
    """
    text = typed.strip()
    number = NUMBER.fullmatch(text)
    if not number:
        return text
    whole, decimals, power = number.groups()
    if decimals or power:
        return WrittenNumber(whole + (f".{decimals}" if decimals else "") + (power or ""))
    return int(whole)


def shown(value: object) -> str:
    """Give a value of the file as a form shows it, so that typing it again changes nothing.

    >>> shown(["clear", "dark"]), shown(["top, unworn", "mid"]), shown(["top, unworn"])
    ('clear, dark', 'top, unworn; mid', 'top, unworn;')
    """
    if isinstance(value, list):
        words = [shown(each) for each in value]
        if not any("," in word for word in words):
            return ", ".join(words)
        return "; ".join(words) if len(words) > 1 else f"{words[0]};"
    return "" if value is None or isinstance(value, dict) else str(value)


def words_between(typed: str) -> list[str]:
    """Take a typed list apart: at its semicolons, else at its commas.

    >>> words_between("clear, dark"), words_between("top, unworn; mid")
    (['clear', 'dark'], ['top, unworn', 'mid'])
    """
    return [word.strip() for word in typed.split(";" if ";" in typed else ",") if word.strip()]


def as_typed(text: str) -> str:
    """Give a text as a form sends it, whatever the ends of its lines.

    >>> as_typed(" one ")
    'one'
    """
    return text.replace("\r\n", "\n").strip()


def tables(values: object, key: str) -> list[Values]:
    """Give the tables of a list; nothing where there is none."""
    listed = values.get(key) if isinstance(values, dict) else None
    return [each for each in listed if isinstance(each, dict)] if isinstance(listed, list) else []


def table(values: object, key: str) -> Values:
    """Give a table within another; an empty one where there is none."""
    found = values.get(key) if isinstance(values, dict) else None
    return found if isinstance(found, dict) else {}


def ends(value: object) -> tuple[str, str]:
    """Give the two ends of a range as a form shows them."""
    pair = [shown(each) for each in value] if isinstance(value, list) else []
    return (pair[0], pair[1]) if len(pair) == 2 else ("", "")


def key_of(values: Values) -> str:
    """Give the key by which a form knows a part or a characteristic."""
    return shown(values.get("key"))


def limit_of(values: Values) -> str:
    """Give the words by which a form knows a limit: what it compares, and which way it bounds.

    >>> limit_of({"measure": "overall difference", "per_bore": WrittenNumber("0.00075")})
    'overall-difference-per_bore'
    """
    measure = shown(values.get("measure")) or "value"
    return f"{measure.replace(' ', '-')}-{bound_of(values)}"


def bound_of(values: Values) -> str:
    """Give which way a limit bounds; upwards where it does not say."""
    return next((bound for bound in BOUNDS if bound in values), "upper")


def apart(found: Iterable[Values], name: Callable[[Values], str]) -> list[tuple[str, Values]]:
    """Give each table with a name of its own; a second one of the same name is numbered.

    >>> [name for name, _ in apart([{"key": "ring"}, {"key": "ring"}, {}], key_of)]
    ['ring', 'ring~2', '~3']
    """
    named: dict[str, Values] = {}
    for place, each in enumerate(found, start=1):
        own = name(each)
        named[own if own and own not in named else f"{own}~{place}"] = each
    return list(named.items())


def free_key(words: str, taken: Iterable[str]) -> str:
    """Make a key from a name: small letters, digits and hyphens, and none that is taken.

    >>> free_key("Oil ring, lower", ["oil-ring-lower"])
    'oil-ring-lower-2'
    """
    key = "-".join(re.findall(r"[a-z0-9]+", words.lower()))[:60].strip("-") or "part"
    known = set(taken)
    return (
        key if key not in known else next(f"{key}-{n}" for n in range(2, len(known) + 3) if f"{key}-{n}" not in known)
    )
