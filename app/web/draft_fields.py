"""The fields of the forms for a limit sheet in the making: what each shows, and which field a fault belongs to."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from app.actions.draft_asked import GAUGED_MORE
from app.actions.sheet_drafts import DraftNow
from app.domain.draft_values import BOUNDS, Values, apart, bound_of, ends, key_of, limit_of, shown, tables
from app.domain.sheet_faults import Fault
from app.domain.sheet_lines import Path
from app.web.draft_shown import AskedField, asked_fields
from app.web.draft_spots import ENDED, TEXT, Spot, closing_spot, listed_field, set_field, upkeep_spot
from app.web.page import Fields

BOUND_WORDS = {"upper": "at most", "lower": "at least", "per_bore": "share of bore", "per_stroke": "share of stroke"}
DOUBTED = re.compile(r"stage (\d+)(?:, parts? ([\w-]+))?")


@dataclass(frozen=True)
class LimitField:
    """One limit as a form shows it."""

    name: str
    words: str
    value: str
    values: Values


@dataclass(frozen=True)
class Gauged:
    """One characteristic as a form shows it."""

    field: str
    values: Values
    lower: str
    upper: str
    limits: tuple[LimitField, ...]
    more: tuple[AskedField, ...] = ()
    between: tuple[str, str] = ("", "")


@dataclass
class Filled:
    """What a form shows: what was typed before what stands in the draft, and what is wrong beside its field."""

    typed: dict[str, str]
    errors: dict[str, str] = field(default_factory=dict)

    def value(self, name: str, stands: object = "") -> str:
        """What a field shows."""
        return self.typed.get(name, shown(stands))

    def error(self, name: str) -> str:
        """What is wrong with a field."""
        return self.errors.get(name, "")


def gauged_on(part_name: str, part: Values) -> list[Gauged]:
    """Give the fields of everything that is gauged on a part."""
    return [_gauged(f"{part_name}/{name}", each) for name, each in apart(tables(part, "characteristic"), key_of)]


def _gauged(name: str, values: Values) -> Gauged:
    """Give the fields of one characteristic."""
    lower, upper = ends(values.get("new"))
    limits = tuple(_limit(f"{name}/{own}", each) for own, each in apart(tables(values, "limit"), limit_of))
    more = asked_fields(GAUGED_MORE, values, f"{name}/")
    return Gauged(name, Fields(values), lower, upper, limits, more, ends(values.get("between")))


def _limit(name: str, values: Values) -> LimitField:
    """Give the field of one limit."""
    bound = bound_of(values)
    measure = shown(values.get("measure"))
    words = f"{measure} {BOUND_WORDS[bound]}" if measure not in ("", "value") else BOUND_WORDS[bound]
    return LimitField(name, words, shown(values.get(bound)), Fields(values))


def wrong_fields(now: DraftNow, page: str) -> list[str]:
    """Name the fields of a page whose figures are not as expected."""
    spots = [spot_of(now.values, fault) for fault in now.wrong]
    return [spot.field for spot in spots if spot.page == page and spot.field]


def filled(now: DraftNow, page: str, typed: dict[str, str], errors: dict[str, str]) -> Filled:
    """Fill a form: what is wrong with its fields stands beside them; what is merely missing does not shout."""
    found = [(spot_of(now.values, fault), fault) for fault in now.wrong]
    beside = {spot.field: f"{fault.expected}." for spot, fault in reversed(found) if spot.page == page}
    return Filled(typed, beside | errors)


def spot_of(values: Values, fault: Fault) -> Spot:
    """Find the field that a fault or a doubt belongs to."""
    if fault.path:
        return _spot(values, fault.path)
    doubted = DOUBTED.match(fault.place)
    if not doubted:
        return Spot("head", "")
    part = _base_key(values, int(doubted[1]), doubted[2] or "")
    return Spot(f"stages/{doubted[1]}", f"of-{part}" if part else "")


def _base_key(values: Values, number: int, key: str) -> str:
    """Find the part that a key was set out from: ring for ring-2, or for c1-ring."""
    stages = tables(values, "stage")
    keys = [key_of(part) for part in tables(stages[number - 1], "part")] if number <= len(stages) else []
    return next((own for own in sorted(keys, key=len, reverse=True) if own and own in key), key)


def _spot(values: Values, path: Path) -> Spot:
    """Find the field of a path."""
    place, last = list(path), str(path[-1])
    if place[0] == "always":
        return Spot("renewed", listed_field(values, place))
    if place[0] == "stage" and len(place) > 1:
        return _spot_of_stage(values, int(place[1]), place[2:])
    if place[0] in ("task", "proving") or place[:2] in (["sheet", "instrument"], ["sheet", "judging"]):
        return upkeep_spot(values, place)
    return Spot("head", last) if place[0] == "sheet" else TEXT


def _spot_of_stage(values: Values, index: int, place: list[str | int]) -> Spot:
    """Find the field of a path within a stage."""
    stage, page = tables(values, "stage")[index], f"stages/{index + 1}"
    if not place or place == ["number"]:
        return TEXT
    if place[0] == "part" and len(place) > 1:
        return _spot_of_part(stage, index + 1, place[1:])
    if place[0] in ("joint", "running", "stagger"):
        return closing_spot(stage, page, place)
    if place[0] in ("bore", "stroke", "cylinders"):
        return Spot(page, str(place[0]))
    return Spot(page, set_field(stage, place)) if place[0] == "set" else TEXT


def _spot_of_part(stage: Values, number: int, place: list[str | int]) -> Spot:
    """Find the field of a path within a part: figures on the page of the stage, all else on the part's own."""
    name, part = apart(tables(stage, "part"), key_of)[int(place[0])]
    page, rest = f"stages/{number}/parts/{name}", place[1:]
    if len(rest) < 2 or rest[0] != "characteristic":
        return Spot(page, listed_field(part, rest) if len(rest) > 1 else "/".join(map(str, rest)))
    own, gauged = apart(tables(part, "characteristic"), key_of)[int(rest[1])]
    key, more = f"{name}/{own}", rest[2:]
    if not more:
        return Spot(page, f"{key}/name")
    if more[0] == "new":
        return Spot(f"stages/{number}", f"{key}/new-lower")
    if more[0] == "limit" and len(more) > 1:
        limit, _ = apart(tables(gauged, "limit"), limit_of)[int(more[1])]
        is_figure = len(more) == 2 or more[2] in BOUNDS
        return Spot(f"stages/{number}", f"{key}/{limit}") if is_figure else Spot(page, f"{key}/{limit}/{more[2]}")
    return Spot(page, f"{key}/{ENDED.get(str(more[0]), more[0])}")


def linked(now: DraftNow, faults: Iterable[Fault], page: str = "") -> list[tuple[str, Fault]]:
    """Give faults with the address of the field that mends each; only those of one page where one is named."""
    spots = [(spot_of(now.values, fault), fault) for fault in faults]
    return [(spot.href(now.draft.id), fault) for spot, fault in spots if not page or spot.page == page]


def missing_by_part(now: DraftNow, number: int) -> Counter[str]:
    """Count what is still to be filled in on each part of a stage."""
    stages = tables(now.values, "stage")
    names = [key_of(part) for part in tables(stages[number - 1], "part")]
    paths = [fault.path for fault in now.missing if fault.path[:3] == ("stage", number - 1, "part")]
    return Counter(names[int(path[3])] for path in paths if len(path) > 3)


def open_in(now: DraftNow, number: int) -> int:
    """Count what is still to be filled in in a stage."""
    return sum(fault.path[:2] == ("stage", number - 1) for fault in now.missing)
