"""The guide for developers is true: the glossary holds every word of a closed choice, and the map what is there."""

import re
from enum import Enum

import pytest

from app.domain.limits import Measure, Method, OnLimit, Rule, Side
from app.domain.overhaul import Meaning, Phase
from app.domain.people import Role
from app.domain.readings import Kind, Occasion
from app.domain.verdicts import Verdict
from tests.house.source import ROOT

GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
GLOSSARY = GUIDE.split("## Glossary")[1].split("\n## ")[0]
CHOICES = (Verdict, Phase, Kind, Measure, Occasion, Meaning, Rule, Side, OnLimit, Method, Role)
NOUNS = (
    "book", "machine", "stage", "part", "set", "characteristic", "limit sheet", "reading", "finding", "overhaul",
    "scope", "phase", "step", "hold point", "verdict", "margin", "decision", "concession", "correction", "signature",
    "chain", "base size", "operating hours",
)  # fmt: skip


@pytest.mark.parametrize("choice", [member for choice in CHOICES for member in choice], ids=str)
def test_word_of_a_closed_choice_stands_in_the_glossary(choice: Enum) -> None:
    assert f"`{choice.value}`" in GLOSSARY


@pytest.mark.parametrize("noun", NOUNS)
def test_noun_of_the_trade_has_its_meaning_in_the_glossary(noun: str) -> None:
    assert re.search(rf"^\| {noun} \| \S", GLOSSARY, re.MULTILINE)


def test_no_word_has_two_meanings() -> None:
    words = [
        word.strip()
        for row in re.findall(r"^\| ([^|]+) \|", GLOSSARY.split("The closed choices")[0], re.MULTILINE)
        for word in row.split(",")
    ]

    assert len(words) == len(set(words))


def test_everything_on_the_map_is_there() -> None:
    places = re.findall(r"^( {0,2})(\.?[\w]+[\w./]*)", GUIDE.split("```text")[1].split("```")[0], re.MULTILINE)

    missing, above = [], ""
    for indent, name in places:
        path = f"{above}{name}" if indent else name
        above = above if indent else name
        missing += [] if (ROOT / path).exists() else [path]

    assert len(places) > 15
    assert missing == []


def test_every_package_of_the_program_stands_in_the_table_of_imports() -> None:
    packages = [path.name for path in (ROOT / "app").iterdir() if (path / "__init__.py").is_file()]

    assert [name for name in packages if f"`app.{name}`" not in GUIDE] == []
