"""Generated readings of every kind of place in all sample sheets, with what the book says of each."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from random import Random

from app.domain.entries import Typed, kinds_of, read_entry
from app.domain.errors import InputRefused
from app.domain.limits import Characteristic, LimitSheet, Method, Part
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.preferences import FirstUnit, shown_in
from app.domain.readings import Kind, Occasion, Place, Reading
from app.domain.units import from_mm
from app.web.bore_measures import bore_measures
from app.web.gauge_bands import Laid, lay_bands
from app.web.gauge_round import Round, begin_round, with_entry
from app.web.gauge_scale import box_for
from tests.builders import NOW, SAMPLES, a_reading, good_readings
from tests.domain.builders import LATER, an_overhaul, fitted, the_sheet

SHEETS = tuple(sorted(path.name for path in SAMPLES.glob("*.toml")))
READ_IN_BOTH = (
    ("qm-ga.toml", FirstUnit.INCH),
    ("qm-ba.toml", FirstUnit.MM),
)  # by a person who put the other unit first
Lines = tuple[str, str, list[list[str]]]


@dataclass(frozen=True)
class Spot:
    """One place of a page: its round, its characteristic, how it is entered, and the bands laid for it."""

    round: Round
    part: Part
    characteristic: Characteristic
    place: Place
    kind: Kind
    temperature: str
    laid: Laid

    def typed(self, **words: str) -> dict[str, str]:
        """The fields of the form."""
        empty = dict.fromkeys(("value", "goes", "does_not_go", "set_size", "unit"), "")
        return empty | {"kind": self.kind.value, "temperature": self.temperature} | words

    def reading(self, words: dict[str, str]) -> Reading | None:
        """The entry that the book reads from the fields; nothing where it refuses them."""
        fields = {name: word for name, word in words.items() if name != "is_leaf"}
        try:
            typed = Typed("generated-1", self.place, self.round.occasion, **fields)
            return read_entry(self.round.overhaul, typed, "M. Tarrow", LATER)
        except InputRefused:
            return None

    def said(self, verdict: PartVerdict, reading: Reading) -> Lines:
        """What the verdict box says, and a bore's running results beside it."""
        overhaul, renewed = with_entry(self.round.overhaul, reading), self.round.renewed(self.part.ref)
        results = bore_measures(overhaul, self.part, self.characteristic, self.round.occasion, renewed)
        box = box_for(verdict, self.place, self.characteristic.is_grid)
        lines = [*(["reason", each] for each in box.reasons), ["leaf", box.advice],
                 *(["also", each] for each in box.also), ["source", box.source],
                 *(["result", f"{one.verdict}|{one.name}|{one.figure}|{one.limit}"] for one in results)]  # fmt: skip
        return verdict.verdict.value, verdict.renews, [line for line in lines if line[1]]


def spots(seed: int) -> Iterator[Spot]:
    """Every place of every sample sheet, as it is entered in each way, with chance deciding what stands already."""
    chance = Random(seed)
    for file, first in [*((file, FirstUnit.SHEET) for file in SHEETS), *READ_IN_BOTH]:
        for stage in the_sheet(file).stages[: None if first is FirstUnit.SHEET else 1]:
            rounds = [_read_in(one, first) for one in _rounds(the_sheet(file), stage.number, chance)]
            for place, kind in _places(the_sheet(file), stage.number):
                one_round = chance.choice(rounds)
                if place.part in {part.ref for part in one_round.parts}:
                    yield _spot(one_round, place, kind, chance.choice(("", "", "24", "31.5")))


def _read_in(one_round: Round, first: FirstUnit) -> Round:
    """The same round as somebody reads it who puts a unit first."""
    return begin_round(shown_in(one_round.overhaul, first), one_round.occasion)


def _spot(one_round: Round, place: Place, kind: Kind, temperature: str) -> Spot:
    """A place with the bands that its page would be given."""
    part = one_round.verdict(place.part).part
    characteristic = part.characteristic(place.characteristic)
    laid = lay_bands(one_round, place, kind, temperature, LATER)
    return Spot(one_round, part, characteristic, place, kind, temperature, laid)


def _places(sheet: LimitSheet, stage: int) -> list[tuple[Place, Kind]]:
    """Each place of a stage with each way of entering it."""
    return [
        (Place(part.ref, each.key, *cell), kind)
        for part in sheet.parts if part.stage == stage
        for each in part.characteristics
        for cell in each.places
        for kind in kinds_of(each) if kind not in (Kind.CANNOT, Kind.GOES)
    ]  # fmt: skip


def _rounds(sheet: LimitSheet, stage: int, chance: Random) -> list[Round]:
    """Rounds of a stage: nothing entered, half of it, all as new, all worn; and as fitted with new parts."""
    bare = an_overhaul(sheet=sheet, stages=(stage,))
    good = good_readings(bare.parts, Occasion.AS_FOUND, NOW)
    worn = [_worn(bare, reading, chance) for reading in good]
    entered = [(), chance.sample(good, len(good) // 2), good, worn]
    found = [begin_round(replace(bare, readings=tuple(each)), Occasion.AS_FOUND) for each in entered]
    new = [replace(r, occasion=Occasion.AS_FITTED, id=f"new-{r.id}") for r in good]
    work = replace(bare, readings=(*worn, *chance.sample(new, len(new) // 2)))
    for part in bare.parts[::2]:
        work = fitted(work, part.ref)
    return [*found, begin_round(work, Occasion.AS_FITTED)]


def _worn(overhaul: Overhaul, reading: Reading, chance: Random) -> Reading:
    """The same reading on a used part: somewhere about a limit."""
    part = overhaul.sheet.part(reading.place.part)
    characteristic = part.characteristic(reading.place.characteristic) if part else None
    if part is None or characteristic is None:
        return reading
    about = chance.choice(marks(characteristic))
    worn = f"{about + chance.randint(-3, 3) * _step(characteristic):f}"
    where = {"level": reading.place.level, "axis": reading.place.axis, "unit": characteristic.unit}
    return a_reading(part.ref, characteristic.key, worn, **where)


def marks(characteristic: Characteristic) -> list[Decimal]:
    """Figures about which something turns, in the sheet's unit: ends of the new range, limits, and base and limit."""
    lengths = [limit.size.mm for limit in characteristic.limits]
    base_mm = characteristic.base_size.mm if characteristic.base_size and characteristic.is_grid else Decimal(0)
    new = characteristic.new
    ends = [new.lower.mm, new.upper.mm] if new else [sum(characteristic.possible_mm) / 2]
    found = [from_mm(mm, characteristic.unit) for mm in [*ends, *(base_mm + mm for mm in lengths)]]
    return [round(each, characteristic.decimals) for each in found]


def _step(characteristic: Characteristic) -> Decimal:
    """The last decimal that is shown."""
    return Decimal(1).scaleb(-characteristic.decimals)


def words(spot: Spot, chance: Random) -> dict[str, str]:
    """What somebody types at a place, to its last decimal."""
    if spot.kind is Kind.PAIR:
        return _leaves(spot, chance)
    figure = _figure(spot, chance)
    if spot.kind is Kind.SIZE:
        return spot.typed(value=_as_typed(figure, spot, chance))
    set_size = round(chance.choice(marks(spot.characteristic)), spot.characteristic.decimals)
    return spot.typed(value=_as_typed(figure - set_size, spot, chance), set_size=f"{set_size:f}")


def _figure(spot: Spot, chance: Random) -> Decimal:
    """A figure, mostly close to where something turns, now and then anywhere, and now and then finer than is shown."""
    step = _step(spot.characteristic) * chance.choice((1, 1, 1, Decimal("0.1")))
    near = chance.choice(marks(spot.characteristic)) + chance.randint(-4, 4) * step
    far = near * Decimal(chance.randint(90, 110)) / 100
    return abs(round(chance.choice((near, near, near, far)), 6))


def _as_typed(figure: Decimal, spot: Spot, chance: Random) -> str:
    """Write a figure with at least the decimals that are shown, with a point or a comma."""
    shown = f"{figure:.{max(spot.characteristic.decimals, -int(figure.normalize().as_tuple().exponent))}f}"
    return shown.replace(".", ",") if chance.random() < 0.3 else shown


def _leaves(spot: Spot, chance: Random) -> dict[str, str]:
    """Two leaves, or one that goes alone: of the set, stacked, or of any thickness."""
    found = [_leaf(spot, chance) for _ in range(2)]
    goes, stops = sorted(found, key=lambda text: sum(Decimal(leaf.replace(",", ".")) for leaf in text.split("+")))
    return spot.typed(goes=goes, does_not_go="" if chance.random() < 0.15 else stops)


def _leaf(spot: Spot, chance: Random) -> str:
    """A leaf of the set near a limit, two of them stacked, or any figure."""
    marked = [leaf for leaf in spot.round.overhaul.sheet.leaves if leaf.unit is spot.characteristic.unit]
    if spot.characteristic.method is not Method.FEELER or not marked or chance.random() < 0.3:
        return _as_typed(_figure(spot, chance), spot, chance)
    about = chance.choice(marks(spot.characteristic))
    near = sorted(marked, key=lambda leaf: abs(leaf.value - about))[:6]
    is_stack = chance.random() < 0.2
    leaves = chance.sample(marked[:8], 2) if is_stack else [chance.choice(near)]
    return "+".join(_as_typed(leaf.value, spot, chance) for leaf in leaves)
