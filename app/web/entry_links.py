"""Where an entry of the chain stands in the book: the address of the page that shows what was entered."""

from urllib.parse import quote, urlencode

from app.actions.entries import ToldEntry

MACHINE = "machine "
# Of what is entered on a machine by itself, the page of the machine that shows it.
ON_MACHINE = {
    "hours recorded": "/hours",
    "hours struck": "/hours",
    "service recorded": "/service",
    "run entered": "/runs",
    "baseline chosen": "/runs",
}
# The pages of what belongs to no machine, by the first word of the subject.
OF_SITE = {
    "person": "/people",
    "tablet": "/people",
    "instrument": "/instruments",
    "site": "/site-rules",
    "part": "/parts-ahead",
    "book": "/backups",
    "key": "/elsewhere",
    "bundle": "/elsewhere",
}


def where_it_stands(told: ToldEntry) -> str:
    """Give the address at which an entry stands, nothing where no page but its own shows it."""
    if told.overhaul is not None:
        return _in_overhaul(told)
    if told.subject.startswith(MACHINE):
        return f"/machines/{quote(told.subject.removeprefix(MACHINE))}{ON_MACHINE.get(told.what, '')}"
    if told.what == "site key begun":
        return "/verify"
    if told.what == "sheet approved":
        name, _, revision = told.subject.removeprefix("sheet ").rpartition(" rev ")
        return f"/sheets/{quote(name)}/{quote(revision)}#approval"
    if told.what == "sheet imported":
        return f"/sheets/{quote(told.new['name'])}/{quote(told.new['revision'])}"
    return OF_SITE.get(told.subject.partition(" ")[0], "")


def subject_words(told: ToldEntry) -> str:
    """Name what an entry is on: GA-1, overhaul 2."""
    if told.overhaul is not None:
        return f"{told.overhaul.tag}, overhaul {told.overhaul.number}"
    return told.subject.removeprefix(MACHINE)


def _in_overhaul(told: ToldEntry) -> str:
    """A reading stands in the history of its part; all else on the record, with its stage where it has one."""
    assert told.overhaul is not None  # noqa: S101 - asked only where it is
    new = told.new if isinstance(told.new, dict) else {}
    if told.what.startswith("amendment "):
        return f"/overhauls/{told.overhaul.id}/amendments#amendment-{new.get('amendment_id', new.get('id', ''))}"
    if "characteristic" in new:
        asked = urlencode({"part": new["part"], "characteristic": new["characteristic"]})
        return f"/machines/{quote(told.overhaul.tag)}/history?{asked}#r-{quote(str(new['id']))}"
    stage = str(new.get("ref") or new.get("part") or "").partition(".")[0]
    spot = f"#part-{quote(new['part'])}" if new.get("part") else f"#sheet-{stage}" if stage else ""
    return f"/overhauls/{told.overhaul.id}/record{spot}"
