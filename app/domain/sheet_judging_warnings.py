"""What a limit sheet asks of judging that it does not give the figures for: an uncertainty, an expansion."""

from collections.abc import Iterator

from app.domain.limits import InstrumentClass, LimitSheet, Method, Part, Rule
from app.domain.sheet_faults import listed
from app.domain.temperature import EXPANSION

# Feelers are judged by the ends of their interval, and the errors of leaves have a figure of their own.
WITHOUT_FIGURES = Method.FEELER
CORRECTED_TO_20 = (Method.BORE_GAUGE, Method.MICROMETER)
Doubts = Iterator[tuple[str, str]]


def judging_doubts(sheet: LimitSheet) -> Doubts:
    """Raise every doubt about how a sheet wants readings judged."""
    if sheet.rule is Rule.GUARDED:
        yield from _uncertainty_doubts(sheet)
    if sheet.is_corrected_to_20:
        yield from _correction_doubts(sheet)


def _uncertainty_doubts(sheet: LimitSheet) -> Doubts:
    """Doubt the guarded rule where nothing is known of an instrument."""
    methods = (method for part in sheet.parts for method in _methods_of(part))
    unknown = [m for m in dict.fromkeys(methods) if m is not WITHOUT_FIGURES and not _is_known(sheet.instrument(m))]
    if unknown or not sheet.instruments:
        words = "without an uncertainty only the simple rule may be claimed"
        yield "sheet, instrument", f"{words}; none is given for {listed(unknown) or 'any method'}"


def _correction_doubts(sheet: LimitSheet) -> Doubts:
    """Doubt a correction to 20 degC that the expansion of a part or instrument is missing for."""
    parts = [part for part in sheet.parts if any(method in CORRECTED_TO_20 for method in _methods_of(part))]
    for part in parts:
        if part.material not in EXPANSION:
            found = f"found “{part.material}”" if part.material else "none is given"
            known = f"a material whose expansion is known, to correct to 20 degC: {listed(EXPANSION)}; {found}"
            yield f"stage {part.stage}, part {part.key}, material", known
    for method in CORRECTED_TO_20:
        instrument = sheet.instrument(method)
        if any(method in _methods_of(part) for part in parts) and not (instrument and instrument.expansion_per_k):
            yield "sheet, instrument", f"the expansion of the {method}, to correct to 20 degC; none is given"


def _methods_of(part: Part) -> list[Method]:
    """List what a part is gauged with; a clearance worked out is gauged with nothing."""
    return [each.method for each in part.characteristics if not each.is_derived]


def _is_known(instrument: InstrumentClass | None) -> bool:
    """Whether anything about its uncertainty is known."""
    return instrument is not None and any(
        (instrument.resolution, instrument.permissible_error, instrument.repeatability)
    )
