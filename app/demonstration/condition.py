"""The true condition of an invented machine: the size of every place at a reading of the meter, part by part."""

from collections import Counter
from math import pi
from random import Random

from app.demonstration.chance import chance
from app.demonstration.paces import OTHER_KH, PACES, POOR_FIRST_PARTS_KH, RING_ORDER
from app.demonstration.wear_model import BoreLife, Life, RingLife, steady_kh
from app.domain.limits import Characteristic, LimitSheet, Measure, Part, PartKind
from app.domain.readings import Place

BORE, GAP = "bore", "closed-gap"
UNWORN = "unworn end"  # where the sheet wants a ring's gap taken at the least worn place too
NEW_GAP_FROM, NEW_GAP_TO = 0.62, 0.8  # a new ring's gap lies in this share of the new range, at the worst place
FILED_MM = 0.05  # what the fitter files off beyond the new minimum at the tightest place: one leaf
LAPPED_OFF_MM = 0.02  # what lapping a seat adds to the valve's lift
DRESSED_OFF_MM = 0.01  # what dressing a skirt takes off the piston


class Condition:
    """What every part of one machine truly measures; only the work of an overhaul begins a new life."""

    def __init__(self, tag: str, sheet: LimitSheet) -> None:
        self.tag = tag
        self.sheet = sheet
        self.bores: dict[int, BoreLife] = {}
        self.rings: dict[str, RingLife] = {}
        self.lives: dict[tuple[str, str], Life] = {}
        self.times_fitted: Counter[str] = Counter()
        for part in sorted(sheet.parts, key=lambda part: part.kind is PartKind.RING):  # a ring's gap needs its bore
            self.renew(part, 0)

    def size_mm(self, place: Place, hours: float) -> float:
        """Give the true size at one place."""
        stage = int(place.part.partition(".")[0])
        if place.characteristic == BORE:
            return self.bores[stage].diameter_mm(place.level, place.axis, hours)
        if place.characteristic == GAP:
            return self.rings[place.part].gap_mm(self._ring_bore_mm(stage, place.level, hours), hours)
        return self.lives[place.part, place.characteristic].size_mm(hours)

    def renew(self, part: Part, hours: float, grown_mm: float = 0) -> None:
        """Put a new part in; one made for an oversize bore is larger by what the bore has grown."""
        self.times_fitted[part.ref] += 1
        for characteristic in (each for each in part.characteristics if not each.is_derived):
            if characteristic.key == BORE:
                self._begin_bore(part, characteristic, hours, _base_mm(characteristic))
            elif characteristic.key == GAP:
                self._begin_ring(part, characteristic, hours)
            else:
                self._begin_life(part, characteristic, hours, grown_mm if part.kind is PartKind.PISTON else 0)

    def hone(self, part: Part, made_to_mm: float, hours: float) -> None:
        """Hone a cylinder to an oversize: its bore is round and straight again."""
        self.times_fitted[part.ref] += 1
        self._begin_bore(part, part.characteristics[0], hours, made_to_mm)

    def lap(self, part: Part) -> None:
        """Lap a valve's seat, which lowers it and so adds to the lift."""
        self._move(part, "lift", LAPPED_OFF_MM)

    def dress(self, part: Part) -> None:
        """Dress a scuffed skirt."""
        self._move(part, "skirt", -DRESSED_OFF_MM)

    def _move(self, part: Part, key: str, moved_mm: float) -> None:
        """Move a size without beginning the part's life again."""
        life = self.lives[part.ref, key]
        self.lives[part.ref, key] = Life(life.fitted_mm + moved_mm, life.rate_mm, life.since_hours)

    def _chance(self, part: Part, what: str) -> Random:
        """Give a source of chance for one thing of one fitted part."""
        return chance(self.tag, part.ref, what, self.times_fitted[part.ref])

    def _ring_bore_mm(self, stage: int, level: str, hours: float) -> float:
        """Give the mean diameter that a ring's gap is gauged in."""
        bore = self.bores[stage]
        return bore.mean_diameter_mm(bore.best_level if level == UNWORN else bore.worst_level, hours)

    def _begin_bore(self, part: Part, bore: Characteristic, hours: float, made_to_mm: float) -> None:
        """Begin a bore's life a little over the size it was made to."""
        pace = PACES[self.tag][part.stage]
        wear_limit_mm = float(bore.limit(Measure.WEAR).size.mm)
        over_mm = self._chance(part, "size").uniform(0.02, 0.06) * wear_limit_mm
        self.bores[part.stage] = BoreLife(
            made_to_mm + over_mm,
            (wear_limit_mm - over_mm) / steady_kh(pace.bore_kh * 1000),
            hours,
            dict(zip(bore.levels, pace.shape, strict=True)),
            dict(zip(bore.axes, (pace.along, 1.0), strict=True)),
        )

    def _begin_ring(self, part: Part, gap: Characteristic, hours: float) -> None:
        """Begin a ring's life with its ends filed to suit the bore as it is now, its tightest place too."""
        lower_mm, upper_mm, limit_mm = _span_mm(gap)
        share = self._chance(part, "size").uniform(NEW_GAP_FROM, NEW_GAP_TO)
        worst_mm, tightest_mm = (self._ring_bore_mm(part.stage, level, hours) for level in ("", UNWORN))
        room_mm = pi * (worst_mm - tightest_mm) + FILED_MM
        fitted_mm = lower_mm + max(share * (upper_mm - lower_mm), room_mm)
        self.rings[part.ref] = RingLife(fitted_mm, worst_mm, self._face_rate_mm(part, limit_mm - fitted_mm), hours)

    def _face_rate_mm(self, part: Part, opens_mm: float) -> float:
        """Give the face wear that, with the bore's, opens the gap to its limit in the ring's time."""
        kh = PACES[self.tag][part.stage].ring_kh / RING_ORDER[part.key]
        bore = self.bores[part.stage]
        mean_share = sum(bore.axes.values()) / len(bore.axes)
        return (opens_mm / steady_kh(kh * 1000) - pi * bore.rate_mm * mean_share) / (2 * pi)

    def _begin_life(self, part: Part, characteristic: Characteristic, hours: float, grown_mm: float) -> None:
        """Begin the life of any other size, within its new range."""
        lower_mm, upper_mm, limit_mm = _span_mm(characteristic)
        draw = self._chance(part, characteristic.key)
        fitted_mm = lower_mm + draw.uniform(0.25, 0.75) * (upper_mm - lower_mm)
        kh = OTHER_KH[characteristic.key] * draw.uniform(0.85, 1.25)
        if self.times_fitted[part.ref] == 1:
            kh = POOR_FIRST_PARTS_KH.get((self.tag, part.ref, characteristic.key), kh)
        rate_mm = (limit_mm - fitted_mm) / steady_kh(kh * 1000)
        self.lives[part.ref, characteristic.key] = Life(fitted_mm + grown_mm, rate_mm, hours)


def _base_mm(bore: Characteristic) -> float:
    """Give the size a new cylinder is made to."""
    if bore.base_size is None:
        raise ValueError(f"{bore.name} has no base size to begin from")
    return float(bore.base_size.mm)


def _span_mm(characteristic: Characteristic) -> tuple[float, float, float]:
    """Give the new range and the limit it wears towards; every size on the invented sheets has both."""
    limit = next(limit for limit in characteristic.limits if limit.measure is Measure.VALUE)
    if characteristic.new is None:
        raise ValueError(f"{characteristic.name} has no new range to begin from")
    return float(characteristic.new.lower.mm), float(characteristic.new.upper.mm), float(limit.size.mm)
