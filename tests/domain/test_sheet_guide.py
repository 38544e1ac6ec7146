"""The guide for developers lists every key of a limit sheet's file, and none that the reader does not know."""

import re
from pathlib import Path

import pytest

from app.domain.sheet_file import SheetRefused, read_sheet

ROOT = Path(__file__).parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("\n## The limit sheet file\n")[1].split("\n## ")[0]
SET = '[[stage.set]]\nkey = "rings"\nname = "Rings"\nmembers = ["ring"]\norder = { name = "Rings", number = "QM-1" }\n'
UNKNOWN = "xyzzy"


def sheet_with_an_unknown_key_in_every_table():
    """The guarded sheet, which with a set has every table there is."""
    text = (ROOT / "sample_data" / "qm-guarded.toml").read_text(encoding="utf-8")
    text = text.replace("# Renewed whatever", f"{SET}\n# Renewed whatever")
    text = re.sub(r"^(\[.*\])$", rf"\1\n{UNKNOWN} = 1", text, flags=re.MULTILINE)
    return f"{UNKNOWN} = 1\n" + text.replace("{ ", f"{{ {UNKNOWN} = 1, ")


def known_keys():
    """Every key that the reader knows, by table: it names them all where it finds one unlike any of them."""
    with pytest.raises(SheetRefused) as refused:
        read_sheet(sheet_with_an_unknown_key_in_every_table())
    keys: dict[str, set[str]] = {}
    for fault in refused.value.faults:
        table = ".".join(step.partition(" ")[0] for step in fault.place.split(", ") if fault.place != "the file")
        keys.setdefault(table, set()).update(re.findall(r"“([^”]+)”", fault.expected.partition("known here:")[2]))
    return keys


def guide_keys():
    """Every key in the guide, by table; a table that stands in another is one of that one's keys."""
    keys: dict[str, set[str]] = {"": set()}
    for section in GUIDE.split("\n### ")[1:]:
        heading, _, rows = section.partition("\n")
        cells = re.findall(r"^\| (`[^|]+) \|", rows, re.MULTILINE)
        for table in re.findall(r"`\[+([^\]]+)\]+`", heading):
            keys[table] = {key for cell in cells for key in re.findall(r"`([^`]+)`", cell)}
    for table in list(keys):
        around, _, name = table.rpartition(".")
        keys[around].update([name] if name else [])
    return keys


def test_the_guide_lists_every_table_of_the_limit_sheet_file():
    assert guide_keys().keys() == known_keys().keys()


@pytest.mark.parametrize("table", sorted(known_keys()))
def test_the_guide_lists_every_key_of_a_table_and_no_other(table):
    assert guide_keys()[table] == known_keys()[table]


def test_every_key_in_the_guide_has_a_type_a_default_and_a_meaning():
    rows = [line for line in GUIDE.splitlines() if line.startswith("| `")]

    assert len(rows) > 50
    assert [row for row in rows if len([cell for cell in row.split(" | ") if cell.strip("| ")]) != 4] == []
