"""The parts to order: what follows from the verdicts, and what is always renewed when opened."""

from dataclasses import dataclass

from app.domain.limits import Part
from app.domain.order_lines import OrderLine, Oversize
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import renewed_object
from app.domain.part_verdicts import PartVerdict
from app.domain.verdicts import Verdict

ALWAYS = "always renewed when opened"


@dataclass(frozen=True)
class Wanted:
    """One line of the order: what, how many, and why."""

    name: str
    number: str
    quantity: int
    kit: str
    why: str


def parts_to_order(overhaul: Overhaul, verdicts: tuple[PartVerdict, ...]) -> tuple[Wanted, ...]:
    """List what to order: a renewed set once, each other renewed part, then what is always renewed.

    A bore made to an oversize takes the parts made for it in place of the standard ones.
    """
    made = [(v, oversize) for v in verdicts if (oversize := chosen_oversize(v)) is not None]
    replaced = {(v.part.stage, v.part.cylinder, order.renews) for v, oversize in made for order in oversize.orders}
    standing = [v for v in verdicts if (v.part.stage, v.part.cylinder, renewed_object(v)) not in replaced]
    lines = [*_sets(tuple(standing)), *(_part(v) for v in standing if _is_renewed_alone(v))]
    return (*lines, *_oversizes(made), *_always(overhaul))


def _is_renewed_alone(verdict: PartVerdict) -> bool:
    """Whether a part is renewed by itself and not with its set."""
    return verdict.verdict is Verdict.RENEW and verdict.with_set is None


def oversize_words(oversize: Oversize) -> str:
    """Write an oversize as a decision keeps it."""
    return f"oversize {oversize.size.typed}"


def chosen_oversize(verdict: PartVerdict) -> Oversize | None:
    """Give the oversize that a chief engineer chose for a bore that is reworked."""
    decision = verdict.decision
    if decision is None or decision.verdict is not Verdict.REWORK:
        return None
    return next((one for one in verdict.part.oversizes if oversize_words(one) == decision.renews), None)


def _oversizes(made: list[tuple[PartVerdict, Oversize]]) -> list[Wanted]:
    """The rings and pistons made for each bore that goes to an oversize."""
    return [
        _line(order, order.name, f"{verdict.part.item}: made for the bore at {oversize.size.typed}.")
        for verdict, oversize in made
        for order in oversize.orders
    ]


def _sets(verdicts: tuple[PartVerdict, ...]) -> list[Wanted]:
    """Each set that is renewed, once."""
    sets = {v.with_set.ref: v for v in verdicts if v.with_set is not None and v.verdict is Verdict.RENEW}
    return [
        _line(v.with_set.order, f"{v.with_set.name}, stage {v.with_set.stage}", v.set_reason)
        for v in sets.values()
        if v.with_set is not None
    ]


def _part(verdict: PartVerdict) -> Wanted:
    """One renewed part, by the object its verdict names."""
    renewed = renewed_object(verdict)
    order = order_line(verdict.part, renewed)
    reason = verdict.decision.reason if verdict.decision else verdict.deciding.reason
    return _line(order, f"{verdict.part.name}, stage {verdict.part.stage}: {renewed}", f"{verdict.part.item}: {reason}")


def order_line(part: Part, renewed: str) -> OrderLine | None:
    """Find the order line for what is renewed; a part with a single line needs no name for it."""
    named = next((order for order in part.orders if order.renews == renewed), None)
    return named or (part.orders[0] if len(part.orders) == 1 else None)


def _line(order: OrderLine | None, name: str, why: str) -> Wanted:
    """Lay an order line out; without one on the sheet the number is left to find."""
    if order is None:
        return Wanted(name, "not on the sheet", 1, "", why)
    return Wanted(order.name, order.number, order.quantity, order.kit, why)


def _always(overhaul: Overhaul) -> list[Wanted]:
    """What this opening renews whatever the readings say."""
    return [
        _line(item.order, item.order.name, ALWAYS)
        for item in overhaul.sheet.always
        if (item.stage is None or item.stage in overhaul.scope.stages)
        and (overhaul.scope.has_rings or not item.rings_only)
    ]
