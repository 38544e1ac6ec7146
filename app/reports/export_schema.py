"""What an export in JSON may hold, as a JSON Schema (draft 2020-12)."""

from collections.abc import Mapping

FORMAT, VERSION = "wearbook-export", 1
SCHEMA_ID = "urn:wearbook:export:1"
MOMENT = r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(\+00:00|Z)$"
Schema = dict[str, object]

TEXT: Schema = {"type": "string"}
NUMBER: Schema = {"type": "integer"}
Columns = Mapping[
    str, tuple[str, bool]
]  # by column: text, number, yes or no, moment or digits; and whether it may lack

KINDS: dict[str, Schema] = {
    "text": {"type": "string"},
    "number": {"type": "integer"},
    "yes or no": {"type": "boolean"},
    "moment": {"type": "string", "pattern": MOMENT},
    "day": {"type": "string", "format": "date"},
    "digits": {"type": "string", "pattern": r"^[+-]?[0-9.]+(E[+-]?[0-9]+)?$"},
}


def export_schema(tables: Mapping[str, Columns], facts: list[str], of_machine: list[str], of_site: list[str]) -> Schema:
    """Describe an export, from the columns of the book's tables."""
    rows = {name: _row(columns) for name, columns in tables.items()}
    machine = _with(rows["machine"], {name: _list(name) for name in of_machine})
    overhaul = _with(rows["overhaul"], {**{name: _list(name) for name in facts}, "verdicts": _list("verdict")})
    lists = {**LISTS, **{name: name for name in of_site}}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        "title": "Export of a Wearbook",
        "type": "object",
        "properties": {
            "format": {"const": FORMAT},
            "version": {"const": VERSION},
            "scope": {"enum": ["record", "machine", "book"]},
            "made_at": KINDS["moment"],
            "made_by": TEXT,
            "head": _object({"seq": NUMBER, "digest": TEXT}),
            "entered_as": {"type": "object", "additionalProperties": {"type": "array", "items": TEXT}},
            **{name: {"type": "array", "items": {"$ref": f"#/$defs/{of}"}} for name, of in lists.items()},
        },
        "required": ["format", "version", "scope", "made_at", "made_by", "head", "entered_as", *lists],
        "additionalProperties": False,
        "$defs": {**rows, "machine": machine, "overhaul": overhaul, "verdict": VERDICT},
    }


LISTS = {
    "people": "person",
    "machines": "machine",
    "overhauls": "overhaul",
    "sheets": "sheet_revision",
    "entries": "entry",
    "signed_heads": "signed_head",
}


def _object(properties: Mapping[str, Schema]) -> Schema:
    """An object with exactly these properties."""
    return {
        "type": "object",
        "properties": dict(properties),
        "required": list(properties),
        "additionalProperties": False,
    }


VERDICT = _object(
    {
        **dict.fromkeys(
            ("item", "part", "name", "verdict", "first_verdict", "renews", "set_reason", "by_amended_values"), TEXT
        ),
        "reasons": {"type": "array", "items": _object({"verdict": TEXT, "reason": TEXT, "source": TEXT})},
    }
)


def _row(columns: Columns) -> Schema:
    """A row of a table."""
    return _object({name: _column(kind, may_lack) for name, (kind, may_lack) in columns.items()})


def _column(kind: str, may_lack: bool) -> Schema:
    """A column; one that may lack its value may be null."""
    return {"anyOf": [KINDS[kind], {"type": "null"}]} if may_lack else KINDS[kind]


def _list(of: str) -> Schema:
    """A list of rows."""
    return {"type": "array", "items": {"$ref": f"#/$defs/{of}"}}


def _with(row: Schema, more: Mapping[str, Schema]) -> Schema:
    """A row with lists of other rows in it."""
    properties = row["properties"]
    assert isinstance(properties, dict)  # noqa: S101 - a row is an object
    return _object({**properties, **more})
