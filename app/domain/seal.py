"""What a signature covers, written so that the same content always gives the same digest."""

from app.domain.canonical import as_dict
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.photos import Photo
from app.domain.readings import Occasion, Reading, superseded
from app.domain.running import Run
from app.domain.steps import AGAIN
from app.domain.verdicts import Judged

LATER = ("is_second_look", "correction")


def content_for(overhaul: Overhaul, meaning: Meaning) -> dict[str, object]:
    """Collect what a signature with this meaning covers."""
    content: dict[str, object] = {
        "meaning": meaning,
        "machine": overhaul.machine,
        "overhaul": overhaul.number,
        "hours": overhaul.hours,
        "sheet": overhaul.sheet.title,
        "scope": overhaul.scope,
        "as_found": _readings(overhaul, Occasion.AS_FOUND),
        "made_safe": [c for c in overhaul.confirmations if c.phase is Phase.MAKE_SAFE and c.step != AGAIN],
    }
    content |= _looks(overhaul, Occasion.AS_FOUND, "looked_again_as_found")
    if meaning is not Meaning.GAUGED:
        content["verdicts"] = [_verdict(verdict) for verdict in judge_overhaul(overhaul)]
        content["decisions"] = overhaul.decisions
        content |= (
            {"photos": [_photo(photo) for photo in overhaul.photos]} if overhaul.photos else {}
        )  # older seals know none
    content |= {"paper": overhaul.paper} if overhaul.is_from_paper else {}
    if meaning in (Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF, Meaning.FROM_PAPER):
        content["as_fitted"] = _readings(overhaul, Occasion.AS_FITTED)
        content |= _looks(overhaul, Occasion.AS_FITTED, "looked_again_as_fitted")
        content["fittings"] = overhaul.fittings
        # Only where there are any, so that what was signed before runs were kept still has its digest.
        content |= {"runs": [_run(run) for run in overhaul.runs]} if overhaul.runs else {}
        content["confirmations"] = [
            c for c in overhaul.confirmations if c.phase is not Phase.MAKE_SAFE or c.step == AGAIN
        ]
    return content


def _readings(overhaul: Overhaul, occasion: Occasion) -> list[dict[str, object]]:
    """Every entry of an occasion, superseded ones marked."""
    struck = superseded(overhaul.readings)
    entries = [reading for reading in overhaul.readings if reading.occasion is occasion]
    return [{**_reading(reading), "is_superseded": reading.id in struck} for reading in entries]


def _photo(photo: Photo) -> dict[str, object]:
    """A photo as it is sealed; when it was taken only where that is known, so that older seals hold."""
    return {name: value for name, value in as_dict(photo).items() if name != "taken_at" or value}


def _run(run: Run) -> dict[str, object]:
    """A run as it is sealed: what was typed, in which unit, by whom and when."""
    return {"typed": run.typed, "unit": run.figures.unit, "hours": run.hours, "person": run.person, "at": run.at}


def _reading(reading: Reading) -> dict[str, object]:
    """A reading as it is sealed; what older seals do not know stands there only where it says something."""
    return {name: value for name, value in as_dict(reading).items() if name not in LATER or value}


def _looks(overhaul: Overhaul, occasion: Occasion, name: str) -> dict[str, object]:
    """The second looks of an occasion; nothing where there are none, so that older seals hold."""
    looks = [_reading(look) for look in overhaul.looks if look.occasion is occasion]
    return {name: looks} if looks else {}


def _verdict(verdict: PartVerdict) -> dict[str, object]:
    """A verdict as it is sealed: the word, what is renewed and every reason."""
    return {
        "item": verdict.part.item,
        "part": verdict.part.ref,
        "verdict": verdict.verdict.word,
        "first_verdict": verdict.machine.word,
        "renews": verdict.renews,
        "set": verdict.set_reason,
        "reasons": [_reason(judged) for judged in verdict.reasons],
    }


def _reason(judged: Judged) -> dict[str, object]:
    """A reason as it is sealed; how near it is to its limit follows from the sheet, and orders reasons only."""
    return {name: value for name, value in as_dict(judged).items() if name != "room"}
