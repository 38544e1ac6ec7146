"""How fast each stage of each invented machine wears: after how many thousand hours a part comes to its limit."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Pace:
    """The wear of one stage, in thousand hours of steady wear from new to the limit of the first sheet."""

    ring_kh: float
    bore_kh: float
    shape: tuple[float, float, float]  # the bore's wear at the top, in the middle and at the bottom of ring travel
    along: float  # the share of the wear that falls along the pin, where across the pin it is 1


PACES: dict[str, dict[int, Pace]] = {
    "GA-1": {
        1: Pace(ring_kh=17.2, bore_kh=46, shape=(0.85, 1.0, 0.55), along=0.72),
        2: Pace(ring_kh=9.4, bore_kh=38, shape=(1.0, 0.80, 0.30), along=0.92),
        3: Pace(ring_kh=13.0, bore_kh=70, shape=(0.9, 1.0, 0.70), along=0.80),
    },
    "GA-2": {
        1: Pace(ring_kh=14.2, bore_kh=50, shape=(0.80, 1.0, 0.55), along=0.72),
        2: Pace(ring_kh=9.3, bore_kh=46, shape=(1.0, 0.85, 0.45), along=0.75),
        3: Pace(ring_kh=11.6, bore_kh=17, shape=(1.0, 0.90, 0.75), along=0.80),
    },
    "BA-1": {
        1: Pace(ring_kh=16.5, bore_kh=24.5, shape=(0.85, 1.0, 0.66), along=0.75),
        2: Pace(ring_kh=19.0, bore_kh=70, shape=(1.0, 0.90, 0.70), along=0.75),
    },
}
# The other parts, after about how many thousand hours; each part has a pace of its own around it.
OTHER_KH = {
    "side-clearance": 48.0,
    "lift": 44.0,
    "spring-length": 38.0,
    "skirt": 70.0,
    "diameter": 60.0,
    "bumping-clearance": 110.0,
}
# A few first parts that were worse than their fellows.
POOR_FIRST_PARTS_KH = {("BA-1", "2.delivery-valve", "lift"): 10.3}
RING_ORDER = {"ring-1": 1.05, "ring-2": 0.97, "ring-3": 0.93, "oil-ring": 0.9}  # the top ring of a piston wears most
