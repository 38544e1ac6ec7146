"""The parts likely to be needed at the next opening, and what to order by when; it informs and decides nothing."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from app.domain.findings import RING_SET
from app.domain.limits import LimitSheet, Part, PartKind, PartSet
from app.domain.order_lines import AlwaysRenewed, OrderLine, Oversize
from app.domain.outlook import Outlook
from app.domain.parts_list import ALWAYS, order_line
from app.domain.sheet_orders import RENEWED
from app.domain.tasks import Opens, Task
from app.domain.verdicts import Verdict
from app.domain.wear import Life, SizeReading

NOT_ON_SHEET = "not on the sheet"


@dataclass(frozen=True)
class NextOpening:
    """When a machine is expected to be opened next: its hours, and the day where the use tells one."""

    tag: str
    hours: Decimal
    interval_hours: Decimal  # until the opening that follows, which what stays in has to last to
    on: date
    tasks: tuple[Task, ...] = ()  # that open it; without any, every stage is opened with its rings

    def opens(self, part: Part) -> bool:
        """Whether it opens a part."""
        return not self.tasks or any(opens_part(task, part) for task in self.tasks)

    def renews(self, item: AlwaysRenewed) -> bool:
        """Whether something that is always renewed is renewed at it."""
        deep = [task for task in self.tasks if task.opens is Opens.RINGS or not item.rings_only]
        return not self.tasks or any(item.stage is None or task.stage in (None, item.stage) for task in deep)


@dataclass(frozen=True)
class Foreseen:
    """A size of a part looked at ahead; one fitted anew is taken to wear as the part before it did."""

    part: Part
    outlook: Outlook
    is_as_before: bool = False

    @property
    def why(self) -> str:
        """The reason as the list gives it."""
        added = " New since; taken to wear as the one before it." if self.is_as_before else ""
        return f"{self.part.item} {self.part.name}: {self.outlook.words}{added}"


@dataclass(frozen=True)
class Needed:
    """One line of what an opening is likely to need, and the day by which it has to be ordered."""

    opening: NextOpening
    order: OrderLine
    why: str
    oversize: str = ""

    @property
    def order_by(self) -> date | None:
        """The last day on which it can be ordered; None where the sheet gives no delivery time."""
        days = self.order.delivery_days
        return None if days is None else self.opening.on - timedelta(days=days)


@dataclass(frozen=True)
class Stock:
    """What is on hand of a part number, and until when it is good where it keeps for a time only."""

    number: str
    on_hand: int
    best_before: date | None = None

    def is_good_on(self, on: date) -> bool:
        """Whether it may still be fitted on a day."""
        return self.best_before is None or self.best_before >= on


@dataclass(frozen=True)
class ToOrder:
    """One part number over all machines: what is needed, what the stock covers, what is left to order and by when."""

    needs: tuple[Needed, ...]
    covered: int
    order_by: date | None
    stock: Stock | None = None

    @property
    def order(self) -> OrderLine:
        """The order line that the needs share."""
        return self.needs[0].order

    @property
    def needed(self) -> int:
        """How many are needed."""
        return sum(need.order.quantity for need in self.needs)

    @property
    def quantity(self) -> int:
        """How many are left to order."""
        return self.needed - self.covered

    @property
    def is_out_of_date(self) -> bool:
        """Whether some of the stock is past its best before the day of an opening that needs it."""
        stock = self.stock
        is_any = stock is not None and stock.on_hand > 0
        return is_any and not all(stock is None or stock.is_good_on(need.opening.on) for need in self.needs)


@dataclass(frozen=True)
class _Renewal:
    """What is renewed: a set by one of its parts or a part by itself, with the object and its order line."""

    part: Part
    thing: str
    name: str
    order: OrderLine | None
    why: str


def opens_part(task: Task, part: Part) -> bool:
    """Whether a task opens the machine so that a part is gauged."""
    is_deep_enough = task.opens is Opens.RINGS or (task.opens is Opens.VALVES and part.kind is PartKind.VALVE)
    return is_deep_enough and task.stage in (None, part.stage)


def as_before(before: Life, fitted: SizeReading) -> Life:
    """Let a part fitted anew wear as the part before it did: the same steps, from its own size and hours."""
    first = before.readings[0]
    hours, size_mm = fitted.operating_hours - first.operating_hours, fitted.size_mm - first.size_mm
    return Life(tuple(SizeReading(r.operating_hours + hours, r.size_mm + size_mm) for r in before.readings))


def parts_ahead(
    opening: NextOpening, sheet: LimitSheet, foreseen: Sequence[Foreseen], made: Mapping[str, Oversize]
) -> tuple[Needed, ...]:
    """List what an opening is likely to need: what its wear asks for, then what is always renewed.

    A part is needed if its limit is expected before the opening that follows this one. `made` gives the oversize
    that a bore has now, by its part reference; rings and pistons are ordered for it, or for the one it is made to.
    """
    first = _first_by_part(opening, foreseen)
    bored = {ref: next_oversize(each) for ref, each in first.items() if each.outlook.limit.outcome is Verdict.REWORK}
    renewed = _renewed(sheet, {ref: each for ref, each in first.items() if _is_renewed(each, bored.get(ref))})
    replaced = {(*_bore_of(first[ref].part), o.renews) for ref, size in bored.items() if size for o in size.orders}
    standing = {_bore_of(part): made[part.ref] for part in sheet.parts if part.ref in made}
    return (
        *(_line(opening, each, standing) for each in renewed if (*_bore_of(each.part), each.thing) not in replaced),
        *_for_bores(opening, first, bored),
        *(Needed(opening, item.order, ALWAYS) for item in sheet.always if opening.renews(item)),
    )


def renewed_at(opening: NextOpening, sheet: LimitSheet, foreseen: Sequence[Foreseen]) -> frozenset[str]:
    """Every part that is new after an opening, by what is foreseen: with one of a set the whole set."""
    refs = _first_by_part(opening, foreseen).keys()
    sets = [part_set for part_set in map(sheet.set_of, refs) if part_set is not None]
    return frozenset([*refs, *(member for part_set in sets for member in part_set.members)])


def order_numbers(sheet: LimitSheet) -> frozenset[str]:
    """Every part number that a sheet orders by."""
    lines = [order for part in sheet.parts for order in part.orders]
    lines += [order for part in sheet.parts for oversize in part.oversizes for order in oversize.orders]
    lines += [part_set.order for part_set in sheet.sets if part_set.order is not None]
    return frozenset(line.number for line in (*lines, *(item.order for item in sheet.always)))


def next_oversize(foreseen: Foreseen) -> Oversize | None:
    """Find the smallest oversize over the diameter expected; None where none is large enough."""
    expected_mm = foreseen.outlook.expected_mm or Decimal(0)
    return next((each for each in foreseen.part.oversizes if each.size.mm > expected_mm), None)


def _first_by_part(opening: NextOpening, foreseen: Sequence[Foreseen]) -> dict[str, Foreseen]:
    """Of each part, the size whose limit is expected first, if that is before the opening after this one."""
    after = opening.hours + opening.interval_hours
    first: dict[str, Foreseen] = {}
    for each in sorted(foreseen, key=lambda one: one.outlook.limit_at_hours):
        if each.outlook.limit_at_hours < after and opening.opens(each.part):
            first.setdefault(each.part.ref, each)
    return first


def _is_renewed(each: Foreseen, oversize: Oversize | None) -> bool:
    """Whether a part is renewed: a bore is where it has oversizes and none is large enough."""
    if each.outlook.limit.outcome is Verdict.REWORK:
        return bool(each.part.oversizes) and oversize is None
    return True


def _renewed(sheet: LimitSheet, first: Mapping[str, Foreseen]) -> tuple[_Renewal, ...]:
    """Each set with a member to renew once, and each part to renew that belongs to no set."""
    because = {ref: each.why for ref, each in first.items()}
    while following := [p for p in sheet.parts if p.ref not in because and not because.keys().isdisjoint(p.renew_with)]:
        because |= {part.ref: f"{part.item} {part.name}: renewed with another part." for part in following}
    sets = (_set_renewal(sheet, part_set, because) for part_set in sheet.sets)
    alone = [part for part in sheet.parts if part.ref in because and sheet.set_of(part.ref) is None]
    return (
        *(each for each in sets if each is not None),
        *(_part_renewal(part, first.get(part.ref), because[part.ref]) for part in alone),
    )


def _set_renewal(sheet: LimitSheet, part_set: PartSet, because: Mapping[str, str]) -> _Renewal | None:
    """Renew a set where one of its members is to be renewed."""
    part = next((part for part in sheet.parts if part.ref in part_set.members and part.ref in because), None)
    if part is None:
        return None
    return _Renewal(part, RING_SET, f"{part_set.name}, stage {part_set.stage}", part_set.order, because[part.ref])


def _part_renewal(part: Part, foreseen: Foreseen | None, why: str) -> _Renewal:
    """Renew a part by the object that its limit names."""
    named = foreseen.outlook.limit.renews if foreseen else ""
    thing = named or RENEWED[part.kind]
    return _Renewal(part, thing, f"{part.name}, stage {part.stage}: {thing}", order_line(part, thing), why)


def _line(opening: NextOpening, renewal: _Renewal, standing: Mapping[tuple[int, int], Oversize]) -> Needed:
    """Lay a line out: by the oversize its bore has; without an order line the number is left to find."""
    oversize = standing.get(_bore_of(renewal.part))
    made = {order.renews: order for order in oversize.orders} if oversize else {}
    if oversize is not None and renewal.thing in made:
        return Needed(opening, made[renewal.thing], renewal.why, oversize.size.typed)
    order = renewal.order or OrderLine(renewal.thing, renewal.name, NOT_ON_SHEET)
    return Needed(opening, order, renewal.why)


def _for_bores(
    opening: NextOpening, first: Mapping[str, Foreseen], bored: Mapping[str, Oversize | None]
) -> Iterator[Needed]:
    """The rings and pistons made for each bore that goes to an oversize."""
    for ref, oversize in bored.items():
        if oversize is not None:
            words, typed = f"For the bore made to {oversize.size.typed}. {first[ref].why}", oversize.size.typed
            yield from (Needed(opening, order, words, typed) for order in oversize.orders)


def _bore_of(part: Part) -> tuple[int, int]:
    """Name the bore that a part belongs to, by stage and cylinder."""
    return part.stage, part.cylinder


def to_order(needs: Sequence[Needed], stock: Mapping[str, Stock]) -> tuple[ToOrder, ...]:
    """Put the needs of all openings together by part number, less the stock; the soonest to order comes first."""
    by_number: dict[tuple[str, str], list[Needed]] = {}
    for need in sorted(needs, key=lambda each: each.opening.on):
        by_number.setdefault((need.order.number, need.order.name), []).append(need)
    listed = [_ordered(tuple(each), stock.get(number)) for (number, _), each in by_number.items()]
    return tuple(sorted(listed, key=lambda line: (line.quantity == 0, line.order_by or date.max, line.order.number)))


def _ordered(needs: tuple[Needed, ...], stock: Stock | None) -> ToOrder:
    """Take what is on hand and still good on the day for the soonest openings; what is short has to be ordered."""
    left, covered, days = stock.on_hand if stock else 0, 0, []
    for need in needs:
        taken = min(left, need.order.quantity) if stock and stock.is_good_on(need.opening.on) else 0
        left, covered = left - taken, covered + taken
        if taken < need.order.quantity and need.order_by is not None:
            days.append(need.order_by)
    return ToOrder(needs, covered, min(days, default=None), stock)
