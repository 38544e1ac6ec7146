"""What every page of an overhaul shows around its content: machine, stages, phases, permit."""

from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from app.domain.limits import Stage
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.overhaul_verdicts import is_gauged
from app.domain.people import initials_of
from app.domain.phases import ORDER, phase_of
from app.domain.safe_again import why_safe_again
from app.domain.steps import AGAIN, made_safe, permit
from app.web.moments import without_year
from app.web.visit import Visit

PAGES = {
    Phase.MAKE_SAFE: "safe",
    Phase.GAUGE: "gauge",
    Phase.DECIDE: "decide",
    Phase.BOX_UP: "box-up",
    Phase.PROVE: "prove",
    Phase.RETURNED: "record",
    Phase.PAPER: "record",
}


@dataclass(frozen=True)
class StageTab:
    """One stage in the strip."""

    href: str
    name: str
    note: str
    current: bool


@dataclass(frozen=True)
class PhaseMark:
    """One phase in the chain: done, now or ahead."""

    name: str
    state: str
    date: str


@dataclass(frozen=True)
class Strip:
    """The strip of an overhaul's pages."""

    overhaul: Overhaul
    phase: Phase
    tabs: tuple[StageTab, ...]
    phases: tuple[PhaseMark, ...]
    safe: str


def strip(visit: Visit, overhaul: Overhaul, stage: int = 0) -> Strip:
    """Gather the strip; `stage` is the one shown, nothing on pages over all stages."""
    now = phase_of(overhaul)
    return Strip(
        overhaul,
        now,
        tuple(_tab(overhaul, one, stage) for one in overhaul.stages),
        _marks(visit, overhaul, now),
        _safe_words(visit, overhaul),
    )


def _tab(overhaul: Overhaul, stage: Stage, current: int) -> StageTab:
    """Lay one stage's tab out: how many of its parts are gauged."""
    parts = [part for part in overhaul.parts if part.stage == stage.number]
    done = sum(is_gauged(overhaul, part) for part in parts)
    href = f"/overhauls/{overhaul.id}/gauge/{parts[0].ref}" if parts else f"/overhauls/{overhaul.id}/gauge"
    return StageTab(href, f"Stage {stage.number}", f"{done} of {len(parts)}", stage.number == current)


def _marks(visit: Visit, overhaul: Overhaul, now: Phase) -> tuple[PhaseMark, ...]:
    """Lay the chain of phases out; what came from paper has gone through none of them."""
    if now is Phase.PAPER:
        return (PhaseMark(now.capitalize(), "done", ""),)
    return tuple(_mark(visit, overhaul, phase, now) for phase in ORDER if phase is not Phase.RETURNED)


def _mark(visit: Visit, overhaul: Overhaul, phase: Phase, now: Phase) -> PhaseMark:
    """Say where one phase stands, with the day it was done."""
    place, here = ORDER.index(phase), ORDER.index(now)
    state = "done" if place < here else "now" if place == here else "ahead"
    day = without_year(visit.settings.site_zone)[0]
    done_at = _done_at(overhaul, phase) if state == "done" else None
    return PhaseMark(str(phase).capitalize(), state, day(done_at) if done_at else "")


def _done_at(overhaul: Overhaul, phase: Phase) -> datetime | None:
    """The moment a phase was done: its signature, else its last confirmation."""
    signed = {Phase.GAUGE: Meaning.GAUGED, Phase.DECIDE: Meaning.DECIDED, Phase.PROVE: Meaning.RETURNED_CHIEF}
    signature = overhaul.signature(signed[phase]) if phase in signed else None
    moments = [c.at for c in overhaul.confirmations if c.phase is phase and c.step != AGAIN]
    return signature.at if signature else max(moments, default=None)


def safe_again(visit: Visit, overhaul: Overhaul) -> str:
    """Say why whoever is signed in confirms again that the machine is safe; nothing where it stands confirmed."""
    asked = phase_of(overhaul), visit.person.name, visit.now, visit.settings.safe_again_hours
    return why_safe_again(overhaul, *asked)


def _safe_words(visit: Visit, overhaul: Overhaul) -> str | Markup:
    """Say since when and under which permit the machine is safe, as every gauging page shows it."""
    if overhaul.is_from_paper:
        return overhaul.origin.capitalize()
    last = made_safe(overhaul)
    if last is None:
        return "Not made safe yet"
    time = without_year(visit.settings.site_zone)[1]
    again = overhaul.confirmation(Phase.MAKE_SAFE, AGAIN)
    since = Markup("; again {}, {}").format(time(again.at), initials_of(again.person)) if again else ""
    return Markup("Made safe {}, permit {}{}").format(time(last.at), permit(overhaul), since)
