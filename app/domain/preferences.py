"""What a person chooses for their own pages, and what holds until they do; no verdict depends on it."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from enum import StrEnum

from app.domain.errors import InputRefused
from app.domain.limits import Characteristic, LimitSheet, Method, Part
from app.domain.overhaul import Overhaul
from app.domain.reasons import MORE_DECIMALS
from app.domain.units import LengthUnit


class Light(StrEnum):
    """The light of the pages."""

    DEVICE = "device"
    DAY = "day"
    ENGINE = "engine"


class TextSize(StrEnum):
    """The size of everything written."""

    USUAL = "usual"
    LARGE = "large"


class Keys(StrEnum):
    """The size of the keys, for bare hands or gloves."""

    USUAL = "usual"
    GLOVE = "glove"


class Hand(StrEnum):
    """The hand that taps, on whose side the keypad stands."""

    RIGHT = "right"
    LEFT = "left"


class FirstUnit(StrEnum):
    """The unit that sizes are shown and typed in first."""

    SHEET = "sheet"
    MM = "mm"
    INCH = "in"


CHOICES: dict[str, type[StrEnum]] = {
    "light": Light, "text": TextSize, "keys": Keys, "hand": Hand, "unit": FirstUnit,
}  # fmt: skip


@dataclass(frozen=True)
class Preferences:
    """One person's choices; as they stand here before anything is chosen."""

    light: Light = Light.DEVICE
    text: TextSize = TextSize.USUAL
    keys: Keys = Keys.USUAL
    hand: Hand = Hand.RIGHT
    unit: FirstUnit = FirstUnit.SHEET


def preferences_from(kept: Mapping[str, str]) -> Preferences:
    """Read what is kept of a person's choices; a choice that no longer exists counts as not made."""
    known = {name: choice for name, choice in CHOICES.items() if kept.get(name) in list(choice)}
    return Preferences(**{name: choice(kept[name]) for name, choice in known.items()})  # type: ignore[arg-type]


def read_choices(typed: Mapping[str, str]) -> dict[str, str]:
    """Read the choices a form makes, those it names; InputRefused where one is not offered."""
    made = {field.name: typed[field.name] for field in fields(Preferences) if field.name in typed}
    refused = {name: "Choose one of those offered." for name, value in made.items() if value not in list(CHOICES[name])}
    if refused:
        raise InputRefused(refused)
    return made


def shown_in(overhaul: Overhaul, first: FirstUnit) -> Overhaul:
    """Give an overhaul as a person reads it, its sizes in the unit they put first; every length stays what it is.

    Sentences then give both units. Gaps stay in the unit that the leaves of the sheet's feeler set are marked in, since
    a leaf is taken by its mark.
    """
    if first is FirstUnit.SHEET:
        return overhaul
    unit = LengthUnit(first.value)
    sheet = overhaul.sheet
    stages = tuple(
        replace(stage, parts=tuple(_part_in(sheet, part, unit) for part in stage.parts)) for stage in sheet.stages
    )
    return replace(overhaul, sheet=replace(sheet, stages=stages))


def _part_in(sheet: LimitSheet, part: Part, unit: LengthUnit) -> Part:
    """Give a part with its characteristics in a unit."""
    return replace(part, characteristics=tuple(_in(sheet, each, unit) for each in part.characteristics))


def _in(sheet: LimitSheet, characteristic: Characteristic, unit: LengthUnit) -> Characteristic:
    """Give a characteristic in a unit, with decimals as fine as its own."""
    if characteristic.unit is unit:
        return characteristic
    if characteristic.method is Method.FEELER and sheet.leaves:
        return replace(characteristic, is_read_in_both=True)
    finer = MORE_DECIMALS if unit is LengthUnit.INCH else -MORE_DECIMALS
    decimals = max(0, characteristic.decimals + finer)
    return replace(characteristic, unit=unit, decimals=decimals, is_read_in_both=True)
