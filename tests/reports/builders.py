"""Builders of what the drawings are laid out from."""

from decimal import Decimal

from app.reports.bore_drawing import BoreAxis, BoreInput
from app.reports.limit_scale import LimitScaleInput
from app.reports.section import RingSetVerdict, SectionInput, SectionPart
from app.reports.trend_plot import TrendPlotInput, TrendPoint


def a_part(item="2-04", kind="ring", name="Ring 2", **changes):
    given = {
        "key": item, "item": item, "name": name, "kind": kind, "port": None, "verdict": "reuse", "word": "REUSE",
        "figure": "", "note": "", "href": f"/{item}",
    }  # fmt: skip
    return SectionPart(**(given | changes))


def some_rings(count, first=4, **changes):
    return [
        a_part(f"2-{first + number:02}", "ring", f"Ring {number + 1}", **({"set_key": "set"} | changes))
        for number in range(count)
    ]


def a_stage(rings=3, suction=1, delivery=1, others=0, pin=True, piston=True, cylinder=True, **changes):
    parts = [a_part(f"s{n}", "valve", "Suction valve", port="suction") for n in range(suction)]
    parts += [a_part(f"d{n}", "valve", "Delivery valve", port="delivery") for n in range(delivery)]
    parts += [a_part("bore", "cylinder", "Bore")] * cylinder
    parts += some_rings(rings)
    parts += [a_part("piston", "piston", "Piston")] * piston + [a_part("pin", "pin", "Pin")] * pin
    parts += [a_part(f"o{n}", "other", "Bush") for n in range(others)]
    sets = (RingSetVerdict("set", "Ring set", "reuse", "REUSE"),) if rings else ()
    return SectionInput("⌀ 78.00", tuple(parts), sets, **changes)


def a_scale(**changes):
    given = {"decimals": 2, "limit_high": Decimal("0.65"), "new_low": Decimal("0.20"), "new_high": Decimal("0.35")}
    return LimitScaleInput(**(given | changes))


def a_bore(sizes=(("100.09", "100.12", "100.04"), ("100.05", "100.06", "100.03")), base="100.00", **changes):
    axes = tuple(
        BoreAxis(name, meaning, tuple(None if size is None else Decimal(size) for size in column))
        for name, meaning, column in zip("PT", ("along the pin", "across the pin"), sizes, strict=True)
    )
    levels = tuple((name, "level") for name, _ in zip("ABCDEF", sizes[0], strict=False))
    figures = tuple(tuple(size or "" for size in column) for column in sizes)
    return BoreInput(Decimal(base), f"new bore ⌀ {base}", levels, axes, figures, **changes)


def a_plot(points=(("2000", "0.45", "first"), ("4000", "0.28", "second"), ("6000", "0.40", "second")), **changes):
    given = {"title": "Ring gap", "unit": "mm", "decimals": 2, "limit": Decimal("0.65")}
    readings = tuple(TrendPoint(Decimal(hours), Decimal(value), life) for hours, value, life in points)
    return TrendPlotInput(points=readings, **(given | changes))


def numbers_of(path):
    """Every number of a drawn path, for asking where it lies."""
    text = "".join(letter if letter.isdigit() or letter in ".-" else " " for letter in path)
    return [float(number) for number in text.split()]
