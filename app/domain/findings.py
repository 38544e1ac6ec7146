"""What can be seen by eye on a part, and what the trade does about it."""

from dataclasses import dataclass

from app.domain.limits import Construction, Part, PartKind
from app.domain.verdicts import Verdict

PLATE_AND_SPRINGS = "plate and springs"
WHOLE_VALVE = "whole valve"
RING_SET = "ring set"

STEP = "Break the step before new rings go in, or the new top ring strikes it."
TURNED = "A worn plate is never turned over."
PIECES = "Account for every piece before the stage is closed."


@dataclass(frozen=True)
class Finding:
    """One thing seen: its code in the record, the words on the page, and what follows."""

    code: str
    words: str
    verdict: Verdict
    renews: str = ""
    advice: str = ""
    is_absolute: bool = False


SOUND = Finding("sound", "sound", Verdict.REUSE)
DOUBTFUL = Finding("doubtful", "doubtful, for the chief engineer", Verdict.UNDECIDED)

# Common practice, no source, where no other is named: what each finding leads to.
RING = (
    SOUND,
    Finding("scuffed", "scuffed", Verdict.RENEW, RING_SET),
    Finding("stuck", "stuck in its groove", Verdict.RENEW, RING_SET, "Clean the groove and look for the cause."),
    Finding("broken", "broken", Verdict.RENEW, RING_SET, PIECES, True),
    DOUBTFUL,
)
CYLINDER = (
    SOUND,
    Finding("step", "step at the end of ring travel", Verdict.REWORK, "", STEP),
    Finding("scuffed", "scuffed or scored", Verdict.REWORK, "", "Hone, then gauge again."),
    Finding("corroded", "corroded", Verdict.REWORK, "", "Hone, then gauge again."),
    Finding("cracked", "cracked", Verdict.RENEW, "cylinder", "", True),
    DOUBTFUL,
)
PISTON = (
    SOUND,
    Finding("lightly-scuffed", "lightly scuffed", Verdict.REWORK, "", "Dress the skirt, then gauge again."),
    Finding("heavily-scuffed", "heavily scuffed", Verdict.RENEW, "piston"),
    Finding("groove-worn", "ring groove worn or damaged", Verdict.RENEW, "piston"),
    Finding("cracked", "cracked", Verdict.RENEW, "piston", "", True),
    DOUBTFUL,
)
PIN = (
    SOUND,
    Finding("scored", "scored", Verdict.RENEW, "pin"),
    Finding("blued", "blued by heat", Verdict.RENEW, "pin"),
    Finding("cracked", "cracked", Verdict.RENEW, "pin", "", True),
    DOUBTFUL,
)
PLATE_VALVE = (
    SOUND,
    Finding("seat-marked", "light marks on the seat", Verdict.REWORK, "", "Lap the seat, then measure the lift again."),
    Finding("leaks", "leaks on test", Verdict.REWORK, "", "Lap the seat, then test again."),
    Finding("plate-marked", "plate marked or worn", Verdict.RENEW, PLATE_AND_SPRINGS, TURNED),
    Finding("plate-cracked", "plate cracked or broken", Verdict.RENEW, PLATE_AND_SPRINGS, PIECES, True),
    Finding("spring-tired", "spring tired", Verdict.RENEW, PLATE_AND_SPRINGS),
    Finding("spring-broken", "spring broken", Verdict.RENEW, PLATE_AND_SPRINGS, PIECES, True),
    Finding("seat-not-clearing", "seat that lapping does not clear", Verdict.RENEW, WHOLE_VALVE),
    Finding("body-cracked", "seat or guard cracked", Verdict.RENEW, WHOLE_VALVE, "", True),
    DOUBTFUL,
)
REED_VALVE = (
    SOUND,
    Finding("leaks", "leaks on test", Verdict.RENEW, WHOLE_VALVE),
    Finding("reed-bent", "reed bent", Verdict.RENEW, WHOLE_VALVE, "A reed valve is not re-reeded."),
    Finding("reed-cracked", "reed cracked", Verdict.RENEW, WHOLE_VALVE, PIECES, True),
    Finding(
        "reed-missing", "reed missing", Verdict.RENEW, WHOLE_VALVE, "Find the reed before the stage is closed.", True
    ),
    Finding("seat-marked", "seat marked", Verdict.RENEW, WHOLE_VALVE, "A reed valve is not ground."),
    DOUBTFUL,
)
OTHER = (
    SOUND,
    Finding("to-rework", "damaged, can be put right", Verdict.REWORK, "", "Put right, then gauge or look again."),
    Finding("damaged", "damaged beyond putting right", Verdict.RENEW, "part"),
    Finding("cracked", "cracked", Verdict.RENEW, "part", "", True),
    DOUBTFUL,
)
BY_KIND = {
    PartKind.RING: RING,
    PartKind.CYLINDER: CYLINDER,
    PartKind.PISTON: PISTON,
    PartKind.PIN: PIN,
    PartKind.OTHER: OTHER,
}


def findings_for(part: Part) -> tuple[Finding, ...]:
    """Give what can be seen on this part, sound first; a valve's list follows its construction."""
    if part.kind is PartKind.VALVE:
        return REED_VALVE if part.construction is Construction.REED else PLATE_VALVE
    return BY_KIND[part.kind]


def find_finding(part: Part, code: str) -> Finding | None:
    """Find one finding of this part by its code."""
    return next((finding for finding in findings_for(part) if finding.code == code), None)


def finding_words(code: str) -> str:
    """Put a finding's code into words without its part; where kinds of part word it differently, into each of them.

    >>> finding_words("spring-tired"), finding_words("scuffed")
    ('spring tired', 'scuffed, scuffed or scored')
    """
    lists = (*BY_KIND.values(), PLATE_VALVE, REED_VALVE)
    words = dict.fromkeys(finding.words for findings in lists for finding in findings if finding.code == code)
    return ", ".join(words) or code
