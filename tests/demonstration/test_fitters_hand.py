"""The invented fitter writes what the instrument shows, in the sheet's unit, with no limit left between leaves."""

from datetime import UTC, datetime
from decimal import Decimal
from random import Random

from app.demonstration.fitters_hand import Hand, written
from app.domain.entries import Typed
from app.domain.limits import Characteristic, Part
from app.domain.numbers import millimetres
from app.domain.readings import Kind, Occasion, Place
from app.domain.sheet_file import read_sheet
from tests.builders import a_sheet_text

NOW = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)


def test_a_bore_is_written_as_a_deviation_with_its_sign_from_the_set_size() -> None:
    part, bore = one_of("qm-ga.toml", "2.cylinder", "bore")

    entry = written(blank(), part, bore, 78.054, [], Hand(Random(1), set_size=millimetres("78.00")))

    assert (entry.kind, entry.value.replace(",", "."), entry.set_size) == (Kind.DIAL, "+0.05", "78.00")
    assert entry.instrument == "B-03"


def test_a_size_on_the_inch_sheet_is_written_in_inches_to_half_a_thousandth() -> None:
    part, skirt = one_of("qm-ba.toml", "1.piston", "skirt")

    entry = written(blank(), part, skirt, 5.48437 * 25.4, [], Hand(Random(1)))

    assert (entry.kind, entry.value.replace(",", ".")) == (Kind.SIZE, "5.4845")


def test_a_coarse_gap_lies_between_leaves_a_tenth_apart() -> None:
    part, gap = one_of("qm-ga.toml", "2.ring-1", "closed-gap")

    entry = written(blank(), part, gap, 0.637, [Decimal("0.65")], Hand(Random(1), is_coarse=True))

    assert (entry.kind, entry.goes.replace(",", "."), entry.does_not_go.replace(",", ".")) == (
        Kind.PAIR,
        "0.60",
        "0.70",
    )


def test_a_gap_with_a_limit_between_its_leaves_is_taken_as_a_size() -> None:
    part, gap = one_of("qm-ga.toml", "2.ring-1", "closed-gap")

    kinds = {written(blank(), part, gap, 0.637, [Decimal("0.62")], Hand(Random(seed))).kind for seed in range(30)}
    without = {written(blank(), part, gap, 0.637, [Decimal("0.65")], Hand(Random(seed))).kind for seed in range(30)}

    assert kinds == {Kind.SIZE}
    assert without == {Kind.SIZE, Kind.PAIR}


def one_of(file: str, ref: str, key: str) -> tuple[Part, Characteristic]:
    """A part and a characteristic of a sheet of the sample data."""
    part = read_sheet(a_sheet_text(file)).part(ref)
    assert part is not None
    characteristic = part.characteristic(key)
    assert characteristic is not None
    return part, characteristic


def blank() -> Typed:
    """An empty entry."""
    return Typed("one", Place("2.ring-1", "closed-gap"), Occasion.AS_FOUND, "", measured_at=NOW)
