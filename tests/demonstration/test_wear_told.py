"""No figure of the demonstration contradicts another: in one life a size goes one way, and gaps follow bores."""

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from math import pi

from app.domain.limits import Characteristic
from app.domain.overhaul import Overhaul
from app.domain.readings import Kind, Occasion, Place, Reading
from app.domain.verdicts import Verdict
from tests.demonstration.told import Told, verdicts, works

Span = tuple[Decimal, Decimal]  # the smallest and the largest that a reading can mean
SHRINKS = {"spring-length", "skirt", "bumping-clearance"}
MM, INCH_MM = Decimal("0.0051"), Decimal("0.0127")  # half of what the instruments show, by the sheet's unit


def test_no_size_goes_back_within_one_life_beyond_what_is_read(told: Told) -> None:
    for tag, place, life in lives(told):
        shrinks = place.characteristic in SHRINKS or place.part.endswith(".pin")
        for number, (lowest, highest) in enumerate(life):
            for earlier in life[:number]:
                assert (lowest <= earlier[1]) if shrinks else (highest >= earlier[0]), (tag, place)


def test_a_worn_part_has_worn_visibly_before_its_life_ends(told: Told) -> None:
    gaps = [life for _, place, life in lives(told) if place.characteristic == "closed-gap" and len(life) > 2]

    assert len(gaps) > 20
    assert all(life[-1][0] > life[0][1] for life in gaps)


def test_a_gap_never_opens_less_than_its_bore_makes_it(told: Told) -> None:
    checked = 0
    for of_machine in told.machines.values():
        for before, after in pairwise(of_machine):
            kept = {ref for ref, verdict in verdicts(before).items() if verdict.verdict is not Verdict.RENEW}
            for ref, place in ring_places(after):
                opened = own_part_of_gap(before, after, ref, place)
                if ref in kept and opened is not None:
                    checked += 1
                    assert opened > 0, (after.machine.tag, after.number, place)

    assert checked > 20


def test_figures_are_typed_as_a_person_types_them(told: Told) -> None:
    typed = [r.value.typed for overhaul in told.all for r in overhaul.readings if r.value is not None]
    kinds = {reading.kind for overhaul in told.all for reading in overhaul.readings}
    temperatures = [r.temperature_c for o in told.all for r in o.readings if r.temperature_c is not None]
    instruments = {r.instrument for o in told.all for r in o.readings if r.instrument}

    assert kinds == set(Kind) - {Kind.GOES, Kind.TAKEN_BACK}
    assert 0.03 < sum("," in text for text in typed) / len(typed) < 0.25
    assert any(text.startswith("+") for text in typed)
    assert 15 <= min(temperatures) < max(temperatures) <= 28
    assert instruments == {"F-07", "B-03", "M-11", "D-02", "C-05"}


def lives(told: Told) -> Iterator[tuple[str, Place, list[Span]]]:
    """Every life of every place on every machine: what was read, in its order."""
    for tag, of_machine in told.machines.items():
        going: dict[Place, list[Span]] = defaultdict(list)
        for overhaul in of_machine:
            for place, reading in overhaul.standing(Occasion.AS_FOUND).items():
                note(going, overhaul, place, reading)
            begun = renewed_refs(overhaul)
            for place in [place for place in going if place.part in begun]:
                yield tag, place, going.pop(place)
            for place, reading in overhaul.standing(Occasion.AS_FITTED).items():
                note(going, overhaul, place, reading)
        yield from ((tag, place, life) for place, life in going.items())


def note(going: dict[Place, list[Span]], overhaul: Overhaul, place: Place, reading: Reading) -> None:
    """Add what a reading means to the life of its place."""
    span = span_mm(overhaul, reading)
    if span is not None:
        going[place].append(span)


def span_mm(overhaul: Overhaul, reading: Reading) -> Span | None:
    """Give the smallest and the largest size that a reading can mean."""
    if reading.goes is not None and reading.does_not_go is not None:
        return reading.goes.mm, reading.does_not_go.mm
    if reading.size_mm is None:
        return None
    half_mm = half_step_mm(overhaul, reading)
    return reading.size_mm - half_mm, reading.size_mm + half_mm


def half_step_mm(overhaul: Overhaul, reading: Reading) -> Decimal:
    """Half of what the last figure of a reading stands for."""
    part = overhaul.sheet.part(reading.place.part)
    characteristic: Characteristic | None = part.characteristic(reading.place.characteristic) if part else None
    is_coarse = characteristic is not None and characteristic.decimals == 1
    return Decimal("0.051") if is_coarse else INCH_MM if overhaul.sheet.unit == "in" else MM


def renewed_refs(overhaul: Overhaul) -> set[str]:
    """The parts that begin a new life here: renewed ones, and bores made to another size."""
    honed = {fitting.ref for fitting in overhaul.fittings if fitting.made_to}
    return {ref for ref, work in works(overhaul).items() if work.is_renewed} | honed if overhaul.fittings else set()


def ring_places(overhaul: Overhaul) -> list[tuple[str, Place]]:
    """The worst place of every ring that was gauged."""
    entered = overhaul.standing(Occasion.AS_FOUND)
    return [(p.part, p) for p in entered if p.characteristic == "closed-gap" and p.level == "worst place"]


def own_part_of_gap(before: Overhaul, after: Overhaul, ref: str, place: Place) -> float | None:
    """How much of a gap's opening between two overhauls the bore does not explain, read in the ring's favour."""
    found = [overhaul.standing(Occasion.AS_FOUND) for overhaul in (before, after)]
    if place not in found[0]:
        return None
    spans = [span_mm(overhaul, entries[place]) for overhaul, entries in zip((before, after), found, strict=True)]
    bores = [worst_mean_mm(o, f"{ref[0]}.cylinder") for o in (before, after)]
    if spans[0] is None or spans[1] is None:
        return None
    return float(spans[1][1] - spans[0][0]) - pi * (bores[1] - bores[0] - 0.01)


def worst_mean_mm(overhaul: Overhaul, ref: str) -> float:
    """The largest mean diameter over the levels of a bore as found."""
    levels: dict[str, list[float]] = defaultdict(list)
    for place, reading in overhaul.standing(Occasion.AS_FOUND).items():
        if place.part == ref and reading.size_mm is not None:
            levels[place.level].append(float(reading.size_mm))
    return max(sum(sizes) / len(sizes) for sizes in levels.values())
