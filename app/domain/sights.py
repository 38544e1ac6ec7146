"""What several persons saw by eye on a part; a fault that one of them saw is never outvoted."""

from dataclasses import dataclass

from app.domain.findings import Finding, find_finding
from app.domain.limits import Part
from app.domain.readings import Reading
from app.domain.verdicts import Verdict

MOST_OTHERS = 2
HEAVIEST_FIRST = (Verdict.RENEW, Verdict.UNDECIDED, Verdict.NOT_GAUGED, Verdict.REWORK, Verdict.REUSE)


@dataclass(frozen=True)
class Sights:
    """What was seen first, and what the others saw in the order they came."""

    part: Part
    readings: tuple[Reading, ...]

    @property
    def agree(self) -> bool:
        """Whether the first two saw the same."""
        return set(self.readings[0].findings) == set(self.readings[1].findings)

    @property
    def asks_third(self) -> bool:
        """Whether the two differ and nobody else has looked yet."""
        return not self.agree and len(self.readings) == MOST_OTHERS

    @property
    def judged(self) -> Reading:
        """The one that is judged: the heaviest, since not seeing a fault does not disprove it."""
        return min(self.readings, key=self._weight)

    def _weight(self, reading: Reading) -> tuple[int, bool, int]:
        """Order what was seen, the heaviest first: by what follows, then what no concession covers, then the more."""
        found = self._findings(reading)
        heaviest = min(HEAVIEST_FIRST.index(finding.verdict) for finding in found)
        return heaviest, not any(finding.is_absolute for finding in found), -len(found)

    def _findings(self, reading: Reading) -> list[Finding]:
        """What a reading names; a finding that is not known any more is for the chief engineer."""
        return [find_finding(self.part, code) or Finding(code, code, Verdict.UNDECIDED) for code in reading.findings]

    def say(self, reading: Reading) -> str:
        """Put what one person saw into words."""
        return ", ".join(finding.words for finding in self._findings(reading))

    @property
    def words(self) -> str:
        """Who saw what, whether they agree, and what is judged."""
        by = "; ".join(f"{reading.measured_by} {self.say(reading)}" for reading in self.readings)
        return f"{by}. {self.outcome}"

    @property
    def outcome(self) -> str:
        """Whether they saw the same, and what is judged."""
        if self.agree:
            return "They saw the same."
        judged = self.say(self.judged)
        if self.asks_third:
            return f"They differ: a third look is asked for. Judged until then: {judged}."
        return f"They differ. Judged: {judged}, a fault that one saw stands."
