"""Which field of which page a fault in a limit sheet in the making belongs to, where its keys stand in short tables."""

from dataclasses import dataclass
from urllib.parse import quote

from app.actions.draft_asked import ALWAYS, INSTRUMENTS, ITEMS, JOINTS, ORDERS, OVERSIZES, Listed
from app.domain.draft_values import Values, apart, key_of, table, tables

Place = list[str | int]
# A range has two fields, and a clearance two ends: what is wrong with either stands beside the first.
ENDED = {key: f"{key}-lower" for key in ("gauge", "oil_pressure", "possible")} | {"between": "between-outer"}
LISTS: dict[str, Listed] = {each.key: each for each in (ALWAYS, INSTRUMENTS, ITEMS, JOINTS, ORDERS, OVERSIZES)}


@dataclass(frozen=True)
class Spot:
    """Where something is mended: the page within the draft, and the field on it."""

    page: str
    field: str

    def href(self, draft_id: int) -> str:
        """The address of the field."""
        return f"/drafts/{draft_id}/{self.page}" + (f"#f-{quote(self.field, safe='/~')}" if self.field else "")


TEXT = Spot("text", "text")


def listed_field(values: Values, place: Place) -> str:
    """Give the field of a path that leads into a list of short tables, or into a list within one of them."""
    key, rest = str(place[0]), place[1:]
    listed = LISTS.get(key)
    if listed is None or not rest:
        return f"{key}/new" if listed else ENDED.get(key, key)
    name, within = apart(tables(values, key), listed.name_of)[int(rest[0])]
    more = rest[1:]
    if not more:
        return f"{key}/{name}/{listed.asked[0].key}"
    return f"{key}/{name}/{listed_field(within, more)}"


def upkeep_spot(values: Values, place: Place) -> Spot:
    """Find the field of a path among the tasks, the proving, the instruments and the judging."""
    if place[0] == "proving":
        return Spot("proving", ENDED.get(str(place[-1]), str(place[-1])) if len(place) > 1 else "")
    if place[0] == "sheet":
        is_judging = place[1] == "judging"
        field = f"judging/{place[-1]}" if is_judging else listed_field(table(values, "sheet"), place[1:])
        return Spot("instruments", field)
    if len(place) < 2:
        return Spot("tasks", "")
    name, task = apart(tables(values, "task"), key_of)[int(place[1])]
    return Spot(f"tasks/{name}", listed_field(task, place[2:]) if len(place) > 2 else "interval")


def closing_spot(stage: Values, page: str, place: Place) -> Spot:
    """Find the field of a path among how a stage is closed."""
    if place[0] == "running":
        key = str(place[-1])
        return Spot(f"{page}/closing", f"running/{ENDED.get(key, key)}" if len(place) > 1 else "running/gauge-lower")
    return Spot(f"{page}/closing", listed_field(stage, place))


def set_field(stage: Values, place: Place) -> str:
    """Give the field of a path among the sets of a stage."""
    if len(place) < 2:
        return "set-name"
    name, _ = apart(tables(stage, "set"), key_of)[int(place[1])]
    return f"set/{name}/" + ("/".join(map(str, place[2:])) or "name")
