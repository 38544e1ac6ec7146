"""What a form asked of a table, put into the text of a limit sheet in the making; what is as it was shown stays so."""

from collections.abc import Mapping

from app.actions.draft_asked import Asked, How, Listed
from app.actions.draft_places import Place
from app.domain.draft_values import Values, as_typed, free_key, key_of, shown, tables, words_between, written

Typed = dict[str, str]
NEW = "new"  # in the place of a name, in the fields of one more


def put_asked(place: Place, asked: tuple[Asked, ...], prefix: str, typed: Typed) -> None:
    """Put every key in that a form asked for."""
    for each in asked:
        name = prefix + each.key
        words = typed.get(name)
        match each.how:
            case How.NUMBER:
                place.put_size(each.key, words, is_kept_empty=each.is_needed)
            case How.LIST:
                place.put_list(each.key, words, default=each.default)
            case How.NUMBERS:
                place.put_list(each.key, words, written, each.default)
            case How.RANGE:
                place.put_range(each.key, typed.get(f"{name}-lower"), typed.get(f"{name}-upper"))
            case How.TICKS:
                _put_ticks(place, each, name, typed)
            case _:
                place.put_text(each.key, words, each.default, is_kept_empty=each.is_needed)


def _put_ticks(place: Place, asked: Asked, name: str, typed: Typed) -> None:
    """Put in what is ticked, in the order it stood in; what was never asked stays."""
    if f"{name}/asked" not in typed:
        return
    stood = words_of(place.plain, asked.key)
    known = [*stood, *(option for option, _ in asked.options if option not in stood)]
    place.put_texts(asked.key, [word for word in known if typed.get(f"{name}/{word}")])


def words_of(values: Values, key: str) -> list[str]:
    """Give the texts of a list."""
    listed = values.get(key)
    return [shown(each) for each in listed] if isinstance(listed, list) else []


def put_table(place: Place, key: str, asked: tuple[Asked, ...], prefix: str, typed: Typed) -> None:
    """Put a table within another in; it is begun with the first thing typed, and goes with the last."""
    if isinstance(place.node.get(key), dict):
        within = place.within(key)
        put_asked(within, asked, prefix, typed)
        if not within.node and within.plain:
            place.drop(key)
    elif is_begun(asked, prefix, typed):
        place.put_new(key, new_values(asked, prefix, typed))


def put_listed(place: Place, listed: Listed, prefix: str, typed: Typed) -> None:
    """Put a list of short tables in: changed, taken out, and one more."""
    at = f"{prefix}{listed.key}"
    taken = [key_of(each) for each in tables(place.plain, listed.key)]
    for name, each in place.named(listed.key, listed.name_of):
        if typed.get(f"{at}/{name}/remove"):
            place.remove(listed.key, each)
            continue
        put_asked(each, listed.asked, f"{at}/{name}/", typed)
        for inner in listed.within:
            put_listed(each, inner, f"{at}/{name}/", typed)
    if is_begun(listed.asked, f"{at}/{NEW}/", typed):
        values = new_values(listed.asked, f"{at}/{NEW}/", typed)
        key = {"key": free_key(shown(values.get("name")), taken)} if listed.has_key else {}
        place.add(listed.key, key | values)


def is_begun(asked: tuple[Asked, ...], prefix: str, typed: Typed) -> bool:
    """Whether anything was typed into fields that stood empty."""
    ends = ("", "-lower", "-upper")
    return any(
        as_typed(typed.get(f"{prefix}{each.key}{end}", "")) not in ("", each.default) for each in asked for end in ends
    )


def new_values(asked: tuple[Asked, ...], prefix: str, typed: Mapping[str, str]) -> Values:
    """Give a new table; what it needs and was left empty is still to be filled in."""
    values: Values = {}
    for each in asked:
        value = _new_value(each, prefix + each.key, typed)
        if value not in ("", []) or (each.is_needed and not each.only):
            values[each.key] = value
    return values


def _new_value(asked: Asked, name: str, typed: Mapping[str, str]) -> object:
    """Give the value of one key; what is only the default is left out."""
    words = as_typed(typed.get(name, ""))
    if asked.how is How.RANGE:
        ends = [typed.get(f"{name}-lower", ""), typed.get(f"{name}-upper", "")]
        return [written(end) for end in ends] if any(end.strip() for end in ends) else []
    if asked.how is How.TICKS:
        return [word for word, _ in asked.options if typed.get(f"{name}/{word}")]
    if words == asked.default:
        return ""
    if asked.how is How.LIST:
        return list(words_between(words))
    if asked.how is How.NUMBERS:
        return [written(word) for word in words_between(words)]
    return written(words) if asked.how is How.NUMBER else words
