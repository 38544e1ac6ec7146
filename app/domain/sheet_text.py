"""The limit sheet's file written from a limit sheet, so that reading it gives the same sheet again."""

import json
import re
from collections.abc import Iterator
from decimal import Decimal

from app.domain.limits import Characteristic, InstrumentClass, Limit, LimitSheet, Part, PartSet, Rule, Stage
from app.domain.numbers import Length
from app.domain.order_lines import AlwaysRenewed, OrderLine, Oversize
from app.domain.sheet_closing import write_closing, write_joints
from app.domain.sheet_judging import Temperature
from app.domain.sheet_mates import WAITING_FOR_CYLINDER
from app.domain.sheet_proving import write_proving, write_running
from app.domain.sheet_sizes import write_numbers
from app.domain.tasks import Task
from app.domain.units import LengthUnit
from app.domain.verdicts import Verdict

BARE = re.compile(r"(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")


def write_sheet(sheet: LimitSheet) -> str:
    """Write a limit sheet as TOML."""
    return "\n".join(_lines(sheet)) + "\n"


def _lines(sheet: LimitSheet) -> Iterator[str]:
    """Write the whole sheet line by line."""
    yield "[sheet]"
    yield from _texts(name=sheet.name, revision=sheet.revision, machine_type=sheet.machine_type)
    yield from _texts(approver=sheet.approver, unit=sheet.unit, rule=sheet.rule, note=sheet.note)
    yield from write_numbers(opening_interval=sheet.opening_interval_hours)
    yield from ("", "[sheet.source]", *_texts(document=sheet.document, page=sheet.page))
    yield from _judging(sheet)
    if sheet.leaves:
        yield from ("", "[sheet.feelers]", f"leaves = {_sizes(sheet.leaves, sheet.unit)}")
    for instrument in sheet.instruments:
        yield from _instrument(instrument, sheet.unit)
    yield from write_proving(sheet.proving)
    for stage in sheet.stages:
        yield from _stage(stage, sheet.unit)
    for always in sheet.always:
        yield from _always(always)
    for task in sheet.tasks:
        yield from _task(task)


def _judging(sheet: LimitSheet) -> Iterator[str]:
    """Write how readings are judged; a guard belongs to the guarded rule alone."""
    yield from ("", "[sheet.judging]")
    yield from _texts(temperature=Temperature.CORRECTED if sheet.is_corrected_to_20 else Temperature.AS_READ)
    yield from write_numbers(temperature_spread=sheet.temperature_spread_k)
    yield from _texts(guard=sheet.guard if sheet.rule is Rule.GUARDED else "")


def _instrument(instrument: InstrumentClass, unit: LengthUnit) -> Iterator[str]:
    """Write what is known of the instruments of one method."""
    yield from ("", "[[sheet.instrument]]", *_texts(method=instrument.method))
    sizes = {
        "resolution": instrument.resolution,
        "permissible_error": instrument.permissible_error,
        "repeatability": instrument.repeatability,
    }
    yield from (f"{key} = {_size(size, unit)}" for key, size in sizes.items() if size is not None)
    yield from write_numbers(expansion=instrument.expansion_per_k)


def _stage(stage: Stage, unit: LengthUnit) -> Iterator[str]:
    """Write one stage with its parts and sets."""
    yield from ("", "[[stage]]", f"number = {stage.number}", f"bore = {_size(stage.bore, unit)}")
    if stage.stroke is not None:
        yield f"stroke = {_size(stage.stroke, unit)}"
    yield f"cylinders = {stage.cylinders}"
    yield from write_closing(stage.closing)
    yield from write_running(stage.running)
    yield from write_joints(stage.closing)
    for part in stage.parts:
        yield from _part(part, unit)
    for part_set in stage.sets:
        yield from _set(part_set)


def _part(part: Part, unit: LengthUnit) -> Iterator[str]:
    """Write one part with its orders and characteristics."""
    yield from ("", "[[stage.part]]", *_texts(key=part.key, kind=part.kind, name=part.name))
    yield from _texts(port=part.port, construction=part.construction or "", joint=part.joint)
    yield from _texts(gap_gauged=part.gap_gauged, material=part.material)
    if part.judge_again_after or part.kind in WAITING_FOR_CYLINDER:
        yield f"judge_again_after = {_list(part.judge_again_after)}"
    yield from write_numbers(working_temperature=part.working_temperature_c)
    yield from _lists(renew_with=part.renew_with, rework_before=part.rework_before)
    yield from _inline("order", [_order(order) for order in part.orders])
    for oversize in part.oversizes:
        yield from _oversize(oversize, unit)
    for characteristic in part.characteristics:
        yield from _characteristic(characteristic, unit)


def _oversize(oversize: Oversize, unit: LengthUnit) -> Iterator[str]:
    """Write one oversize with what is ordered for it."""
    yield from ("", "[[stage.part.oversize]]", f"size = {_size(oversize.size, unit)}")
    yield from _inline("order", [_order(order) for order in oversize.orders])


def _characteristic(characteristic: Characteristic, sheet_unit: LengthUnit) -> Iterator[str]:
    """Write one characteristic with its limits."""
    unit, new, base = characteristic.unit, characteristic.new, characteristic.base_size
    yield from ("", "[[stage.part.characteristic]]", *_texts(key=characteristic.key, name=characteristic.name))
    yield from _lists(between=characteristic.between or ())
    yield from _texts(method="" if characteristic.is_derived else characteristic.method)
    yield from _texts(unit=unit if unit is not sheet_unit else "")
    yield f"decimals = {characteristic.decimals}"
    if base is not None:
        yield f"base = {_size(base, unit)}"
    yield from _lists(levels=characteristic.levels, axes=characteristic.axes)
    if new is not None:
        yield f"new = {_sizes((new.lower, new.upper), unit)}"
    if not characteristic.is_derived:
        yield f"possible = [{', '.join(_millimetres(end_mm, unit) for end_mm in characteristic.possible_mm)}]"
    yield from _texts(where=characteristic.where, source=characteristic.source)
    yield from _inline("limit", [_limit(limit, unit) for limit in characteristic.limits])


def _limit(limit: Limit, unit: LengthUnit) -> list[str]:
    """Write one limit; a share was worked out when the sheet was read, and its source says how."""
    return [
        *_texts(measure=limit.measure),
        f"{limit.side} = {_size(limit.size, unit)}",
        *_texts(on_limit=limit.on_limit, outcome=limit.outcome),
        *_texts(renews=limit.renews if limit.outcome is Verdict.RENEW else "", action=limit.action),
        *_texts(source=limit.source),
    ]


def _order(order: OrderLine) -> list[str]:
    """Write one order line."""
    named, quantity = _texts(renews=order.renews, name=order.name, number=order.number), f"quantity = {order.quantity}"
    days = [] if order.delivery_days is None else [f"delivery_days = {order.delivery_days}"]
    return [*named, quantity, *_texts(kit=order.kit), *days]


def _set(part_set: PartSet) -> Iterator[str]:
    """Write one set, its members by their keys within the stage."""
    members = tuple(ref.partition(".")[2] for ref in part_set.members)
    yield from ("", "[[stage.set]]", *_texts(key=part_set.key, name=part_set.name), f"members = {_list(members)}")
    if part_set.order is not None:
        yield f"order = {{ {', '.join(_order(part_set.order))} }}"


def _always(always: AlwaysRenewed) -> Iterator[str]:
    """Write one thing that is always renewed."""
    yield from ("", "[[always]]")
    if always.stage is not None:
        yield f"stage = {always.stage}"
    yield from _order(always.order)
    yield from _texts(when="rings" if always.rings_only else "any opening")


def _task(task: Task) -> Iterator[str]:
    """Write one task with its items."""
    yield from ("", "[[task]]", *_texts(key=task.key, name=task.name))
    yield from write_numbers(interval=task.interval_hours, first=task.first_hours)
    yield from (f"{key} = {number}" for key, number in (("months", task.months), ("stage", task.stage)) if number)
    yield from (*_texts(opens=task.opens, how=task.how, source=task.source), *_lists(cautions=task.cautions))
    for item in task.items:
        yield from ("", "[[task.item]]", *_texts(key=item.key, name=item.name, kind=item.kind, unit=item.unit))
        yield from _lists(good=item.good, faults=item.faults, grades=item.grades)
        yield from (*write_numbers(lower=item.lower, upper=item.upper), *_texts(hint=item.hint))


def _inline(key: str, tables: list[list[str]]) -> Iterator[str]:
    """Write a list of short tables, one a line."""
    if tables:
        yield from (f"{key} = [", *(f"    {{ {', '.join(table)} }}," for table in tables), "]")


def _texts(**texts: str) -> list[str]:
    """Write the texts that are not empty."""
    return [f"{key} = {_text(text)}" for key, text in texts.items() if text]


def _text(text: str) -> str:
    """Write a text in quotes; JSON's are the same as TOML's for printed signs and line ends."""
    return json.dumps(text, ensure_ascii=False)


def _lists(**lists: tuple[str, ...]) -> list[str]:
    """Write the lists of texts that hold anything; a single place has an empty name and goes without saying."""
    return [f"{key} = {_list(texts)}" for key, texts in lists.items() if any(texts)]


def _list(texts: tuple[str, ...]) -> str:
    """Write a list of texts."""
    return f"[{', '.join(_text(text) for text in texts)}]"


def _sizes(sizes: tuple[Length, ...], unit: LengthUnit) -> str:
    """Write a list of sizes."""
    return f"[{', '.join(_size(size, unit) for size in sizes)}]"


def _size(size: Length, unit: LengthUnit) -> str:
    """Write a size as typed: bare digits where its unit is the usual one here, else a text with its unit."""
    if size.unit is unit and BARE.fullmatch(size.typed):
        return size.typed
    has_unit = size.unit is unit or not size.typed[-1].isdigit()
    return _text(size.typed if has_unit else f"{size.typed} {size.unit}")


def _millimetres(length_mm: Decimal, unit: LengthUnit) -> str:
    """Write a length in millimetres, with its unit unless that is the usual one here."""
    return f"{length_mm:f}" if unit is LengthUnit.MM else _text(f"{length_mm:f} mm")
