"""Builders of the judging tests: an overhaul of their own sheet with what is entered in it, each made by one call."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path

from app.domain.canonical import canonical, digest
from app.domain.limits import Characteristic, Limit, LimitSheet, Measure, Method, NewRange, Part, PartKind, Side
from app.domain.numbers import Length, millimetres, parse_length
from app.domain.overhaul import (
    Concession,
    Confirmation,
    Decision,
    Fitting,
    Machine,
    Meaning,
    Overhaul,
    Phase,
    Scope,
    Signature,
)
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import Kind, Occasion, Place, Reading
from app.domain.seal import content_for
from app.domain.sheet_file import read_sheet
from app.domain.steps import steps_of
from app.domain.terms import Terms
from app.domain.units import LengthUnit
from app.domain.verdicts import Verdict
from tests.builders import NOW, a_reading, a_sheet_text, good_readings

LATER = NOW + timedelta(hours=1)
MUCH_LATER = NOW + timedelta(hours=2)
MACHINE = Machine(1, "GA-1", "QM-0141", "Governor air", "Quillmoor", "QM-GA")
BORE_LEVELS = ("top of ring travel", "mid stroke", "bottom of ring travel")
BORE_AXES = ("along the pin", "across the pin")


@cache
def the_sheet(file: str = "") -> LimitSheet:
    """The sheet of the judging tests, which stays as it is whatever the sample data become; or one of these."""
    own = Path(__file__).with_name("judging_sheet.toml")
    return read_sheet(a_sheet_text(file) if file else own.read_text(encoding="utf-8"))


def a_part(ref: str, file: str = "") -> Part:
    """A part of a sheet."""
    part = the_sheet(file).part(ref)
    assert part is not None
    return part


def a_sheet_with(*parts: Part, rule: str | None = None) -> LimitSheet:
    """The sheet with these parts in place of its own of the same reference."""
    sheet = the_sheet()
    changed = {part.ref: part for part in parts}
    stages = tuple(replace(s, parts=tuple(changed.get(p.ref, p) for p in s.parts)) for s in sheet.stages)
    return replace(sheet, stages=stages, rule=rule or sheet.rule)


def an_overhaul(*readings: Reading, stages: tuple[int, ...] = (2,), has_rings: bool = True, **other) -> Overhaul:
    """An overhaul of GA-1 with these readings, in this order."""
    fields = {"sheet": the_sheet(), "hours": Decimal(10300), "opened_at": NOW, "opened_by": "M. Tarrow"}
    scope = Scope(stages, has_rings)
    return Overhaul(id=1, number=5, machine=MACHINE, scope=scope, readings=readings, **(fields | other))


def a_gauged_overhaul(*later: Reading, **other) -> Overhaul:
    """An overhaul with a sound entry at every place, and these entries after them."""
    bare = an_overhaul(**other)
    return replace(bare, readings=(*good_readings(bare.parts, Occasion.AS_FOUND, NOW), *later))


def a_dial(part: str, level: str, axis: str, deviation: str, set_size: str = "78.00", **other) -> Reading:
    """A diameter taken as a deviation from the size that the gauge is set to."""
    reading = a_reading(part, "bore", "1", level=level, axis=axis, **other)
    value = parse_length(deviation, LengthUnit.MM, signed=True)
    return replace(reading, kind=Kind.DIAL, value=value, set_size=millimetres(set_size))


def a_cannot(part: str, characteristic: str, reason: str = "The gauge does not enter.", **other) -> Reading:
    """An entry that says why there is no reading."""
    reading = a_reading(part, "seen", "sound", **other)
    place = replace(reading.place, characteristic=characteristic)
    return replace(reading, kind=Kind.CANNOT, place=place, findings=(), reason=reason)


def bore_readings(part: str, diameters: str, **other) -> list[Reading]:
    """Diameters level by level, along and across the pin: "78.01 78.02 78.03 78.02 78.01 78.01"."""
    places = [(level, axis) for level in BORE_LEVELS for axis in BORE_AXES]
    sizes = diameters.split()
    return [a_reading(part, "bore", s, level=p[0], axis=p[1], **other) for p, s in zip(places, sizes, strict=False)]


def ring_gap(ring: int, leaves: str, **other) -> Reading:
    """A closed gap of a ring of stage 2."""
    return a_reading(f"2.ring-{ring}", "closed-gap", leaves, level="worst place", **other)


def verdict_of(overhaul: Overhaul, ref: str) -> PartVerdict:
    """The verdict on one part."""
    return next(verdict for verdict in judge_overhaul(overhaul) if verdict.part.ref == ref)


def a_concession(second: str = "R. Osk", hours: str | None = "12400") -> Concession:
    """A concession until some hours."""
    return Concession(second, Decimal(hours) if hours else None)


def a_decision(ref: str, verdict: Verdict, concession: Concession | None = None, **other) -> Decision:
    """A decision of the chief engineer, an hour after everything was entered."""
    fields = {"reason": "Looked at together on the bench.", "person": "I. Brandreth", "at": LATER}
    return Decision(ref, verdict, concession=concession, **(fields | other))


def decided(overhaul: Overhaul, *decisions: Decision) -> Overhaul:
    """The overhaul with these decisions after those it has."""
    return replace(overhaul, decisions=(*overhaul.decisions, *decisions))


def entered(overhaul: Overhaul, *readings: Reading) -> Overhaul:
    """The overhaul with these readings after those it has."""
    return replace(overhaul, readings=(*overhaul.readings, *readings))


def fitted(overhaul: Overhaul, ref: str, number: str = "QM-31-230", made_to: str = "") -> Overhaul:
    """The overhaul with a new part entered, or the size a rework made."""
    size = millimetres(made_to) if made_to else None
    fitting = Fitting(ref, "" if size else number, "B-7", "M. Tarrow", LATER, size)
    return replace(overhaul, fittings=(*overhaul.fittings, fitting))


def confirmed(overhaul: Overhaul, *phases: Phase) -> Overhaul:
    """The overhaul with every step of these phases confirmed."""
    steps = [(phase, step) for phase in phases for step in steps_of(overhaul, phase)]
    done = tuple(Confirmation(phase, step.key, step.hint, "M. Tarrow", NOW) for phase, step in steps)
    return replace(overhaul, confirmations=(*overhaul.confirmations, *done))


def signed(overhaul: Overhaul, meaning: Meaning, person: str = "M. Tarrow") -> Overhaul:
    """The overhaul signed as it stands."""
    signature = Signature(meaning, person, LATER, digest(canonical(content_for(overhaul, meaning))))
    return replace(overhaul, signatures=(*overhaul.signatures, signature))


def an_upper(size: str, measure: Measure = Measure.VALUE, **other) -> Limit:
    """An upper limit in millimetres."""
    return Limit(measure, Side.UPPER, millimetres(size), **other)


def a_lower(size: str, **other) -> Limit:
    """A lower limit in millimetres."""
    return Limit(Measure.VALUE, Side.LOWER, millimetres(size), **other)


def a_gap(*limits: Limit, new: tuple[str, str] | None = ("0.20", "0.35"), **other) -> Characteristic:
    """A closed gap by feeler, with the limit 0.65 where none is given."""
    span = NewRange(millimetres(new[0]), millimetres(new[1])) if new else None
    fields = {"name": "Closed gap", "method": Method.FEELER, "unit": LengthUnit.MM, "decimals": 2, "new": span}
    return Characteristic(key="closed-gap", limits=limits or (an_upper("0.65"),), **(fields | other))


def terms(characteristic: Characteristic, leaves: str = "", **other) -> Terms:
    """What a characteristic of a ring is judged by: its own limits, with a feeler set of these leaves."""
    leaves_of_set = tuple(millimetres(leaf) for leaf in leaves.split()) or the_sheet().leaves
    sheet = replace(the_sheet(), leaves=leaves_of_set, **other)
    part = Part(2, 3, "ring-1", PartKind.RING, "Ring 1", (characteristic,))
    return Terms(sheet, part, characteristic, characteristic.limits, characteristic.base_size)


def at(reading: Reading) -> tuple[str, str]:
    """The level and axis of a reading."""
    return reading.place.level, reading.place.axis


def a_place(ref: str, characteristic: str, level: str = "", axis: str = "") -> Place:
    """A place."""
    return Place(ref, characteristic, level, axis)


def mm(text: str) -> Length:
    """A length in millimetres."""
    return millimetres(text)
