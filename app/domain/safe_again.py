"""When making safe is confirmed again: at a hand-over to another person, and after a long stop."""

from datetime import datetime, timedelta

from app.domain.overhaul import Overhaul, Phase
from app.domain.steps import made_safe

OPEN_PHASES = (Phase.GAUGE, Phase.DECIDE, Phase.BOX_UP)


def why_safe_again(overhaul: Overhaul, phase: Phase, person: str, now: datetime, longest_stop_hours: int) -> str:
    """Say why a person confirms again that the machine is safe; nothing where it stands confirmed, or is not asked.

    Every confirmation and reading shows that somebody is at the machine. Whoever has not confirmed since work began,
    or began again after a stop, confirms before going on; a longest stop of 0 never asks.
    """
    if not longest_stop_hours or phase not in OPEN_PHASES or made_safe(overhaul) is None:
        return ""
    stop = timedelta(hours=longest_stop_hours)
    at_work = sorted([c.at for c in overhaul.confirmations] + [reading.stored_at for reading in overhaul.readings])
    if now - at_work[-1] > stop:
        return f"the work stood still for more than {longest_stop_hours} h"
    began = at_work[-1]
    for moment in reversed(at_work):
        if began - moment > stop:
            break
        began = moment
    mine = [c for c in overhaul.confirmations if c.phase is Phase.MAKE_SAFE and c.person == person and c.at >= began]
    return "" if mine else f"{person} has not confirmed it since the work began"
