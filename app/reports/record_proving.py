"""The proving runs on the record: every figure as typed, each held to the sheet, and what the gauges said."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from app.domain.overhaul import Confirmation, Overhaul, Phase
from app.domain.people import initials_of
from app.domain.proving import Line, Proof, prove
from app.domain.running import Figures, PumpUp, Run
from app.domain.steps import AGAIN

RunDocument = dict[str, object]


@dataclass(frozen=True)
class RecordRun:
    """One run with what it says, and its figures in words."""

    run: Run
    proof: Proof
    conditions: str
    pump_ups: tuple[str, ...]

    @property
    def outcome(self) -> str:
        """Whether the run proves the machine, and what it points to."""
        found = "Within what the sheet says." if self.proof.is_proved else "Not proved."
        first = [f"stage {one.stage} {one.words}" if one.stage else one.words for one in self.proof.suspects]
        looked = f" Looked at first: {'; '.join(first)}." if first else ""
        none = f" {self.proof.no_suspects}" if self.proof.no_suspects else ""
        return f"{found}{looked}{none}"


def record_runs(overhaul: Overhaul) -> tuple[RecordRun, ...]:
    """Lay out every run that was made to prove an overhaul, in the order they were made."""
    return tuple(_record_run(overhaul, run) for run in overhaul.runs)


def confirmed_again(overhaul: Overhaul) -> tuple[Confirmation, ...]:
    """Every time that somebody confirmed again that the machine is safe."""
    return tuple(c for c in overhaul.confirmations if c.phase is Phase.MAKE_SAFE and c.step == AGAIN)


def run_document(one: RecordRun, write: Callable[[datetime], str]) -> RunDocument:
    """Lay one run out as a document."""
    return {
        "title": f"Run by {one.run.person}, {write(one.run.at)}",
        "outcome": one.outcome,
        "conditions": one.conditions,
        "pump_ups": list(one.pump_ups),
        "lines": [[line.name, line.reading, line.limit or "no limit on the sheet", line.baseline, _within(line)]
                  for line in one.proof.lines],
    }  # fmt: skip


def again_words(overhaul: Overhaul, write: Callable[[datetime], str]) -> str:
    """Say who confirmed again that the machine is safe, and when; nothing where nobody was asked."""
    return "; ".join(f"{initials_of(c.person)} {write(c.at)}" for c in confirmed_again(overhaul))


def _within(line: Line) -> str:
    """Whether a figure is within."""
    return {True: "within", False: "OUTSIDE", None: "not judged"}[line.is_within]


def _record_run(overhaul: Overhaul, run: Run) -> RecordRun:
    """Lay one run out."""
    proof = prove(run, overhaul.sheet, overhaul.baseline)
    pump_ups = tuple(_pump_up(run.figures, number, one) for number, one in enumerate(run.figures.pump_ups, start=1))
    why = (f"No pump-up test: {run.why_no_pump_up}",) if run.why_no_pump_up and not pump_ups else ()
    return RecordRun(run, proof, _conditions(run.figures), pump_ups or why)


def _conditions(figures: Figures) -> str:
    """The conditions of a run in one line."""
    unit = figures.unit
    said = [f"air at the intake {figures.barometer} {unit} absolute, {figures.intake_temperature} {unit.temperature}"]
    said += [f"{figures.speed} revolutions a minute"] if figures.speed is not None else []
    said += [f"{figures.volume} {unit.volume} shut off"] if figures.volume is not None else []
    words = "; ".join(said)
    return f"{words[:1].upper()}{words[1:]}."


def _pump_up(figures: Figures, number: int, one: PumpUp) -> str:
    """One pump-up run in a line."""
    unit = figures.unit
    ends = one.start_temperature, one.end_temperature
    warm = f", air {ends[0]} to {ends[1]} {unit.temperature}" if None not in ends else ""
    return f"Pump-up {number}: {one.start} to {one.end} {unit} in {one.seconds} s{warm}."
