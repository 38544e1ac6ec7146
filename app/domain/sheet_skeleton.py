"""A limit sheet to begin with: the parts of a stage, what is usually gauged on them, and every limit to be filled in.

What is gauged on a kind of part, and with what, is common practice, no source. No figure is invented here.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from app.domain.draft_values import Values, written
from app.domain.limits import Construction, PartKind

TO_FILL_IN = ""
LEVELS = ["top of ring travel", "mid stroke", "bottom of ring travel"]
AXES = ["along the pin", "across the pin"]
MOST_RINGS = 12


@dataclass(frozen=True)
class StageAnswer:
    """What a person says of a stage before anything else, as typed."""

    bore: str
    stroke: str
    rings: int = 3
    construction: Construction = Construction.PLATE


@dataclass(frozen=True)
class SheetAnswer:
    """What a person says of a sheet before anything else, as typed."""

    name: str
    revision: str
    machine_type: str
    approver: str
    unit: str
    stages: tuple[StageAnswer, ...] = ()


def skeleton(answer: SheetAnswer) -> Values:
    """Lay out a whole sheet, complete but for its figures and its source."""
    return {"sheet": skeleton_head(answer), "stage": [skeleton_stage(n, s) for n, s in enumerate(answer.stages, 1)]}


def skeleton_head(answer: SheetAnswer) -> Values:
    """Lay out the head of a sheet."""
    named: Values = {"name": answer.name, "revision": answer.revision, "machine_type": answer.machine_type}
    source = {"document": TO_FILL_IN, "page": TO_FILL_IN}
    return named | {"approver": answer.approver, "unit": answer.unit, "rule": "simple", "source": source}


def skeleton_stage(number: int, answer: StageAnswer) -> Values:
    """Lay out a stage with the parts that nearly every stage has."""
    sizes: Values = {"number": number, "bore": written(answer.bore)}
    if answer.stroke.strip():
        sizes["stroke"] = written(answer.stroke)
    return {**sizes, "part": _parts(answer)}


def _parts(answer: StageAnswer) -> list[Values]:
    """Lay the parts out from the head downwards."""
    valve: Values = {"construction": answer.construction.value}
    ring: Values = {"count": answer.rings}
    return [
        usual_part(PartKind.VALVE, "suction-valve", "Suction valve", {"port": "suction"} | valve),
        usual_part(PartKind.VALVE, "delivery-valve", "Delivery valve", {"port": "delivery"} | valve),
        *([usual_part(PartKind.RING, "ring", "Ring", ring)] if answer.rings else []),
        usual_part(PartKind.CYLINDER, "cylinder", "Cylinder"),
        usual_part(PartKind.PISTON, "piston", "Piston"),
        usual_part(PartKind.PIN, "pin", "Piston pin"),
        _head(),
    ]


def usual_part(kind: PartKind, key: str, name: str, more: Values | None = None) -> Values:
    """Lay out a part with what is usually gauged on its kind."""
    own: Values = {"key": key, "kind": kind.value, "name": name, **(more or {})}
    gauged = _gauged_on(kind, str(own.get("construction", "")))
    return {**own, "characteristic": gauged} if gauged else own


def usual_characteristic(name: str, key: str, method: str, *limits: Mapping[str, object]) -> Values:
    """Lay out a characteristic with its limits still to be filled in."""
    return {"key": key, "name": name, "method": method, "limit": [dict(limit) for limit in limits]}


def _gauged_on(kind: PartKind, construction: str) -> list[Values]:
    """Lay out what is usually gauged on a kind of part; a reed has no springs of its own."""
    upper, lower = {"upper": TO_FILL_IN}, {"lower": TO_FILL_IN}
    match kind:
        case PartKind.VALVE:
            lift = usual_characteristic("Valve lift", "lift", "depth gauge", upper)
            springs = usual_characteristic("Spring free length", "spring-length", "caliper", lower)
            return [lift] if construction == Construction.REED else [lift, springs]
        case PartKind.RING:
            gap = usual_characteristic("Closed gap", "closed-gap", "feeler", upper)
            return [gap, usual_characteristic("Side clearance", "side-clearance", "feeler", upper)]
        case PartKind.CYLINDER:
            return [_bore()]
        case PartKind.PISTON:
            return [usual_characteristic("Skirt diameter", "skirt", "micrometer", lower)]
        case PartKind.PIN:
            return [usual_characteristic("Pin diameter", "diameter", "micrometer", lower)]
    return []


def _bore() -> Values:
    """Lay out the bore, taken at three levels in two directions."""
    measures = ("wear", "ovality", "taper")
    limits = [{"measure": measure, "upper": TO_FILL_IN, "outcome": "rework"} for measure in measures]
    bore = usual_characteristic("Bore", "bore", "bore gauge")
    return bore | {"levels": list(LEVELS), "axes": list(AXES), "limit": limits}


def _head() -> Values:
    """Lay out the head, under which the bumping clearance is taken."""
    clearance: Values = {"lower": TO_FILL_IN, "outcome": "rework"}
    gauged = usual_characteristic("Bumping clearance", "bumping-clearance", "lead wire", clearance)
    head = usual_part(PartKind.OTHER, "head", "Head", {"judge_again_after": ["cylinder", "piston"]})
    return head | {"characteristic": [gauged]}
