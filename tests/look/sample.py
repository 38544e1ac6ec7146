"""Invented figures of the Quillmoor demonstration, enough to fill every specimen page."""

from decimal import Decimal
from types import SimpleNamespace

from app.reports.bore_drawing import BoreAxis, BoreInput
from app.reports.hours_line import HoursEvent, HoursLineInput
from app.reports.limit_scale import LimitScaleInput
from app.reports.section import RingSetVerdict, SectionInput, SectionPart
from app.reports.trend_plot import TrendForecast, TrendPlotInput, TrendPoint

WORDS = {
    "reuse": "REUSE",
    "rework": "REWORK",
    "renew": "RENEW",
    "undecided": "UNDECIDED",
    "notgauged": "NOT GAUGED",
}


def a_part(item, name, kind, verdict, figure="", note="", selected=False, port=None, set_key=None, cylinder=""):
    key = item.replace("-", "_")
    word = WORDS[verdict]
    return SectionPart(
        key, item, name, kind, port, verdict, word, figure, note, f"#{key}", selected, set_key, cylinder
    )  # fmt: skip


def a_stage(selected="2-05"):
    parts = (
        a_part("2-01", "Suction valve", "valve", "reuse", "lift 1.52", port="suction"),
        a_part("2-02", "Delivery valve", "valve", "renew", "plate cracked", "plate and springs", port="delivery"),
        a_part("2-03", "Bore", "cylinder", "rework", "taper 0.09"),
        a_part("2-04", "Ring 1", "ring", "renew", "0.48 good", "with the set", set_key="set"),
        a_part("2-05", "Ring 2", "ring", "renew", "0.70", set_key="set"),
        a_part("2-06", "Ring 3", "ring", "notgauged", "", "with the set", set_key="set"),
        a_part("2-07", "Piston", "piston", "undecided", "77.91", "waits for bore"),
        a_part("2-08", "Pin", "pin", "undecided", "goes 0.04, not 0.06"),
    )
    chosen = tuple(SectionPart(**{**part.__dict__, "selected": part.item == selected}) for part in parts)
    return SectionInput("⌀ 78.00", chosen, (RingSetVerdict("set", "Ring set", "renew", "RENEW"),))


def a_crowded_stage():
    rings = [a_part(f"1-{n:02}", f"Ring {n - 5}", "ring", "reuse", "0.86", set_key="set") for n in range(6, 12)]
    parts = (
        a_part("1-01", "Suction valve 1", "valve", "reuse", "lift 1.9", port="suction"),
        a_part("1-02", "Suction valve 2", "valve", "rework", "seat pitted", port="suction"),
        a_part("1-03", "Delivery valve 1", "valve", "reuse", "lift 1.8", port="delivery"),
        a_part("1-04", "Delivery valve 2", "valve", "reuse", "lift 1.8", port="delivery"),
        a_part("1-05", "Bore", "cylinder", "reuse", "wear 0.11", selected=True),
        *rings,
        a_part("1-12", "Piston", "piston", "reuse", "139.62"),
        a_part("1-13", "Pin", "pin", "reuse", "0.03"),
        a_part("1-14", "Bush", "other", "notgauged"),
    )
    return SectionInput("⌀ 140.00", parts, (RingSetVerdict("set", "Ring set", "reuse", "REUSE"),))


def a_small_stage():
    parts = (
        a_part("3-01", "Valves", "valve", "reuse", "lift 0.8", port="suction"),
        a_part("3-02", "Bore", "cylinder", "reuse", "wear 0.02", selected=True),
        a_part("3-03", "Plunger", "piston", "reuse", "39.95"),
    )
    return SectionInput("⌀ 40.00", parts)


def a_ring_scale():
    return LimitScaleInput(
        2, Decimal("0.65"), None, Decimal("0.20"), Decimal("0.35"), Decimal("0.70"), last=Decimal("0.52"),
        verdict="renew", kept=False,
    )  # fmt: skip


def a_pair_scale():
    return LimitScaleInput(
        2, Decimal("0.65"), None, Decimal("0.20"), Decimal("0.35"), goes=Decimal("0.60"), does_not_go=Decimal("0.70"),
        last=Decimal("0.52"), verdict="undecided",
    )  # fmt: skip


def a_piston_scale():
    return LimitScaleInput(
        2, None, Decimal("77.85"), Decimal("77.90"), Decimal("77.94"), Decimal("77.91"), last=Decimal("77.92"),
        verdict="reuse",
    )  # fmt: skip


def a_free_length_scale():
    return LimitScaleInput(
        1, Decimal("32.0"), Decimal("30.0"), Decimal("31.2"), Decimal("31.8"), Decimal("29.6"), verdict="renew"
    )  # fmt: skip


def a_bore(current=(2, 1)):
    sizes = [["78.09", "78.05", "78.02"], ["78.12", "78.07", "78.03"]]
    axes = [
        BoreAxis(name, meaning, tuple(Decimal(size) for size in column))
        for (name, meaning), column in zip((("P", "along the pin"), ("T", "across the pin")), sizes, strict=True)
    ]
    levels = (("A", "top of travel"), ("B", "mid stroke"), ("C", "bottom"))
    figures = tuple(tuple(column) for column in sizes)
    return BoreInput(
        Decimal("78.00"), "new bore ⌀ 78.00", levels, tuple(axes), figures, "rework", current
    )  # fmt: skip


def a_trend(title, points, limit, new, forecast, verdict, beyond="renew"):
    lives = [TrendPoint(Decimal(h), Decimal(v), life) for h, v, life in points]
    return TrendPlotInput(
        title=title, unit="mm", decimals=2, points=tuple(lives), limit=Decimal(limit),
        new_low=Decimal(new[0]), new_high=Decimal(new[1]), beyond=beyond, verdict=verdict, life_word="set renewed",
        forecast=TrendForecast(*(Decimal(figure) for figure in forecast)) if forecast else None,
    )  # fmt: skip


def some_trends():
    first = [("2010", "0.80", "first set"), ("4080", "1.08", "first set"), ("4080", "0.45", "second set")]
    first += [("6150", "0.58", "second set"), ("8240", "0.71", "second set"), ("10300", "0.86", "second set")]
    second = [("2010", "0.45", "first set"), ("4080", "0.67", "first set"), ("4080", "0.28", "second set")]
    second += [("6150", "0.40", "second set"), ("8240", "0.52", "second set"), ("10300", "0.70", "second set")]
    third = [("8240", "0.20", "second set"), ("10300", "0.29", "second set")]
    forecast = ("12400", "1.01", "0.96", "1.07")
    return [
        a_trend("Stage 1, worst ring gap, mm", first, "1.10", ("0.35", "0.55"), forecast, "reuse"),
        a_trend("Stage 2, worst ring gap, mm", second, "0.65", ("0.20", "0.35"), None, "renew"),
        a_trend("Stage 3, worst ring gap, mm", third, "0.45", ("0.15", "0.25"), ("12400", "0.38"), "reuse"),
    ]


def an_hours_line(width):
    events = (
        HoursEvent(Decimal(0), "New", "2014"),
        HoursEvent(Decimal(2010), "Overhaul 1", "2016", "all REUSE"),
        HoursEvent(Decimal(4080), "Overhaul 2", "2018", "6 RENEW"),
        HoursEvent(Decimal(6150), "Overhaul 3", "2021", "concession"),
        HoursEvent(Decimal(8240), "Overhaul 4", "2023", "3 RENEW"),
        HoursEvent(Decimal(10300), "Overhaul 5", "open now", "", "now"),
        HoursEvent(Decimal(11900), "Valve due", "Jun 2028", "stage 1", "ahead"),
        HoursEvent(Decimal(12400), "Overhaul 6", "Jan 2029", "forecast", "ahead"),
    )
    return HoursLineInput(events, width)


def phases(now):
    names = ("Make safe", "Gauge", "Decide", "Box up", "Prove")
    dates = ("23 Nov", "24 Nov", "24 Nov", "", "")
    return [
        SimpleNamespace(name=name, state="done" if n < now else "now" if n == now else "ahead", date=dates[n])
        for n, name in enumerate(names)
    ]


def stage_tabs(current, notes):
    return [
        SimpleNamespace(href=f"#stage-{n}", name=f"Stage {n}", note=note, current=n == current)
        for n, note in enumerate(notes, 1)
    ]


def an_item(item, name, figure, verdict, reason, action="Change", is_open=False):
    return SimpleNamespace(
        item=item, name=name, figure=figure, verdict=verdict, reason=reason, action=action, open=is_open
    )


def undecided_stages():
    seat = an_item("1-02", "Suction valve 2", "lift 1.9", "rework", "Seat pitted, lift within 2.0. Lap the seat.")
    pin = an_item("2-08", "Pin", "goes 0.04, not 0.06", "undecided", "The limit 0.05 lies between.", "Decide", True)
    why = "Ring 2 is over 0.65, so the set is renewed."
    rings = an_item("2-04 to 2-06", "Rings 1–3", "0.48  0.70  0.51", "renew", why, "See rule")
    bore = an_item("2-03", "Bore", "taper 0.09", "rework", "Taper 0.09 is over 0.08. Hone to 78.25.")
    counts = [("reuse", 1), ("rework", 1), ("renew", 4), ("undecided", 2)]
    return [
        {"number": 1, "counts": [("reuse", 13), ("rework", 1)], "small": "Bore 140.00", "items": [seat]},
        {"number": 2, "counts": counts, "small": "Bore 78.00", "items": [pin, rings, bore]},
    ]


RECORD_ROWS = [
    ("2-01", "Suction valve lift", "1.20–1.40", "2.00", "1.52", "reuse", "within limit", "M. Tarrow"),
    ("2-03", "Bore taper", "0–0.02", "0.08", "0.09", "rework", "hone to 78.25", "M. Tarrow"),
    ("2-04", "Ring 1 gap", "0.20–0.35", "0.65", "0.48", "renew", "with the set", "M. Tarrow"),
    ("2-05", "Ring 2 gap", "0.20–0.35", "0.65", "0.70", "renew", "over the limit", "M. Tarrow"),
    ("2-07", "Piston size", "77.90–77.94", "77.85", "77.91", "undecided", "waits for bore", "M. Tarrow"),
    ("2-08", "Pin clearance", "0.01–0.03", "0.05", "0.04, not 0.06", "undecided", "limit between", "M. Tarrow"),
]
KEY_WORDS = [
    ("reuse", "within limits, goes back"),
    ("rework", "put right, then goes back"),
    ("renew", "new part goes in"),
    ("undecided", "reading cannot settle it"),
    ("notgauged", "no reading taken"),
]
