"""What is asked of a pressure that was likely typed as absolute, where a gauge is meant.

A gauge counts from the air around. A figure that is off what is expected, and fits it without the air around, is asked
about once; it is never put right by itself.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from app.domain.limits import LimitSheet
from app.domain.pressure_words import Counted, counted
from app.domain.proving import estimated_gauges
from app.domain.running import Figures

# How close is close, in these three: own choice, no source. Nothing is judged by them; they decide what is asked about.
NEAR = Decimal("0.02")  # share of the air around: so close stands a figure that is just that
LIKE_BEFORE = Decimal("0.04")  # share of an absolute pressure, that gauges in steady running keep to
ABOUT = Decimal("0.3")  # share of the air around, that an estimate may be off and still tell the two apart


@dataclass(frozen=True)
class Expected:
    """What the gauge of a field is expected to show, from and to, and how that is known."""

    name: str
    lower: Decimal
    upper: Decimal
    words: str

    def holds(self, pressure: Decimal) -> bool:
        """Whether a pressure is as expected."""
        return self.lower <= pressure <= self.upper


def pressure_doubts(
    figures: Figures, typed: Mapping[str, str], sheet: LimitSheet, baseline: Figures | None
) -> dict[str, str]:
    """Ask, field by field, whether a pressure is gauge or absolute; nothing where that was said or is plain."""
    expected = _expected(figures, sheet, baseline)
    said = {name: counted(typed, name, figures.unit)[1] for name in _read(figures)}
    asked, plain = dict[str, str](), set[str]()
    for name, pressure in _read(figures).items():
        each = expected.get(name)
        if each and each.holds(pressure) and not each.holds(pressure - figures.barometer):
            plain.add(name)
        elif each and said[name] is None and not each.holds(pressure) and each.holds(pressure - figures.barometer):
            asked[name] = _question(pressure, figures, each.words)
    return _beside_absolute(said, plain) | asked | _of_receiver(figures, typed)


def _read(figures: Figures) -> dict[str, Decimal]:
    """The gauges that were read, by their fields."""
    read = {f"gauge-{number}": stage.pressure for number, stage in enumerate(figures.stages, start=1)}
    return read if figures.oil_pressure is None else read | {"oil_pressure": figures.oil_pressure}


def _expected(figures: Figures, sheet: LimitSheet, baseline: Figures | None) -> dict[str, Expected]:
    """What is expected of each gauge: by the baseline; without one by the sheet, without that by the swept volumes."""
    return {
        each.name: each for each in (*_estimated(figures, sheet), *_of_sheet(sheet), *_as_before(figures, baseline))
    }


def _as_before(figures: Figures, baseline: Figures | None) -> Iterator[Expected]:
    """What the gauges show by the machine's baseline."""
    if baseline and baseline.unit is figures.unit and len(baseline.stages) == len(figures.stages):
        for number, stage in enumerate(baseline.stages, start=1):
            off = (stage.pressure + baseline.barometer) * LIKE_BEFORE
            words = f"the baseline, {stage.pressure}"
            yield Expected(f"gauge-{number}", stage.pressure - off, stage.pressure + off, words)


def _of_sheet(sheet: LimitSheet) -> Iterator[Expected]:
    """What the gauges show by the sheet."""
    spans = {f"gauge-{stage.number}": stage.running.gauge for stage in sheet.stages if stage.running}
    spans["oil_pressure"] = sheet.proving.oil_pressure if sheet.proving else None
    for name, span in spans.items():
        if span is not None:
            yield Expected(name, span.lower, span.upper, f"the sheet, {span.lower} to {span.upper}")


def _estimated(figures: Figures, sheet: LimitSheet) -> Iterator[Expected]:
    """What the gauges before the last show by the swept volumes."""
    for number, estimate in enumerate(estimated_gauges(figures, sheet), start=1):
        gauge, off = Decimal(f"{estimate:.3g}"), ABOUT * figures.barometer
        yield Expected(f"gauge-{number}", gauge - off, gauge + off, f"the estimate by the swept volumes, {gauge:f}")


def _question(pressure: Decimal, figures: Figures, words: str) -> str:
    """Put the question."""
    less = pressure - figures.barometer
    return f"Gauge or absolute? {pressure} {figures.unit} is off {words}; {less}, without the air around, is not."


def _beside_absolute(said: Mapping[str, Counted | None], plain: set[str]) -> dict[str, str]:
    """Where one stage was said to be absolute, ask of the others that do not tell by themselves."""
    absolute = [name for name, word in said.items() if word is Counted.ABSOLUTE and name.startswith("gauge-")]
    if not absolute:
        return {}
    words = f"Gauge or absolute? Stage {absolute[0].removeprefix('gauge-')} is absolute: say of this one too."
    return {n: words for n, word in said.items() if n.startswith("gauge-") and word is None and n not in plain}


def _of_receiver(figures: Figures, typed: Mapping[str, str]) -> dict[str, str]:
    """Ask of the receiver's gauge: empty it shows nought, and full no more than the last stage's."""
    air, last = figures.barometer, figures.stages[-1].pressure
    for number, run in enumerate(figures.pump_ups, start=1):
        for name, pressure, usual, words in (
            (f"start-{number}", run.start, Decimal(0), "an empty receiver’s gauge, 0"),
            (f"end-{number}", run.end, last, f"the last stage’s gauge, {last}"),
        ):
            if abs(pressure - air - usual) <= NEAR * air and counted(typed, name, figures.unit)[1] is None:
                return {name: _question(pressure, figures, words)}
    return {}
