"""What the cover of a record says in words: the key to the verdicts, what each signature covers, and who is who."""

from app.domain.overhaul import Meaning, Overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.people import initials_of
from app.domain.verdicts import Verdict

KEY = (
    (Verdict.REUSE, "within limits, goes back"),
    (Verdict.REWORK, "to be put right, then judged again"),
    (Verdict.RENEW, "a new part goes in"),
    (Verdict.UNDECIDED, "the reading cannot settle it"),
    (Verdict.NOT_GAUGED, "no reading taken"),
)
COVERS = {
    Meaning.GAUGED: "readings as found",
    Meaning.DECIDED: "readings as found, verdicts, decisions",
    Meaning.RETURNED_FITTER: "all of it, as fitted, closing and proving too",
    Meaning.RETURNED_CHIEF: "all of it, as fitted, closing and proving too",
}

PAPER_COVERS = {
    Meaning.FROM_PAPER: "all of it: readings, verdicts by the sheet, what was done, where it stood on paper"
}


def covers_of(found: Overhaul) -> dict[Meaning, str]:
    """The signatures that a record has, with what each covers."""
    return PAPER_COVERS if found.is_from_paper else COVERS


def people_in(found: Overhaul) -> list[tuple[str, str]]:
    """Everybody on the record with the initials that stand for them."""
    readings = (*found.readings, *found.looks)
    names = {r.measured_by for r in readings} | {r.entered_by for r in readings}
    names |= {c.person for c in found.confirmations} | {run.person for run in found.runs}
    return sorted((initials_of(name), name) for name in names)


def verdict_counts(verdicts: tuple[PartVerdict, ...]) -> list[tuple[Verdict, int]]:
    """Count the parts by verdict, those verdicts left out that no part has."""
    counts = [(word, sum(v.verdict is word for v in verdicts)) for word in Verdict]
    return [(word, count) for word, count in counts if count]
