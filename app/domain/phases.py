"""Which phase an overhaul is in, and what still stands before each signature."""

from app.domain.approvals import NOT_APPROVED
from app.domain.canonical import canonical, digest
from app.domain.errors import NotAllowed, NotYet, Sealed
from app.domain.holds import box_up_holds
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.overhaul_verdicts import judge_overhaul, lapsed_decisions, to_settle, ungauged_parts
from app.domain.part_verdicts import PartVerdict
from app.domain.proving import prove
from app.domain.readings import Occasion
from app.domain.reasons import many
from app.domain.seal import content_for
from app.domain.steps import open_steps

ORDER = tuple(phase for phase in Phase if phase is not Phase.PAPER)
CLOSED = (Phase.RETURNED, Phase.PAPER)
RETURNED = (Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF)
# Each of these is signed by another person than the one beside it, whichever comes first.
OTHER_HAND = {
    Meaning.DECIDED: Meaning.GAUGED,
    Meaning.RETURNED_CHIEF: Meaning.RETURNED_FITTER,
    Meaning.RETURNED_FITTER: Meaning.RETURNED_CHIEF,
}


def phase_of(overhaul: Overhaul) -> Phase:
    """Work out the phase from what has been entered and signed; what came from paper has gone through none."""
    if overhaul.is_from_paper:
        return Phase.PAPER
    if is_returned(overhaul):
        return Phase.RETURNED
    if overhaul.signature(Meaning.DECIDED):
        return Phase.PROVE if is_boxed_up(overhaul) else Phase.BOX_UP
    if open_steps(overhaul, Phase.MAKE_SAFE):
        return Phase.MAKE_SAFE
    return Phase.DECIDE if is_signed_gauged(overhaul) else Phase.GAUGE


def is_returned(overhaul: Overhaul) -> bool:
    """Whether both have signed the machine back into service."""
    return all(overhaul.signature(meaning) for meaning in RETURNED)


def is_signed_gauged(overhaul: Overhaul) -> bool:
    """Whether the fitter's signature covers the readings as they stand; a later entry asks for it again."""
    signature = overhaul.signature(Meaning.GAUGED)
    return signature is not None and signature.digest == digest(canonical(content_for(overhaul, Meaning.GAUGED)))


def is_boxed_up(overhaul: Overhaul) -> bool:
    """Whether every step of boxing up is confirmed and no hold point is open."""
    return not open_steps(overhaul, Phase.BOX_UP) and not box_up_holds(overhaul)


def holds_before(overhaul: Overhaul, meaning: Meaning) -> tuple[str, ...]:
    """Say in words what still stands before a signature."""
    match meaning:
        case Meaning.GAUGED:
            return _holds_before_gauged(overhaul)
        case Meaning.DECIDED:
            return _holds_before_decided(overhaul)
        case _:
            return _holds_before_returned(overhaul)


def _holds_before_gauged(overhaul: Overhaul) -> tuple[str, ...]:
    """Making safe, an entry everywhere, and no two looks that differ."""
    holds = ["the machine is not made safe"] if open_steps(overhaul, Phase.MAKE_SAFE) else []
    parts = ungauged_parts(overhaul)
    if parts:
        named = many([f"{part.item} {part.name}" for part in parts[:3]])
        more = f" and {len(parts) - 3} more" if len(parts) > 3 else ""
        holds.append(f"not gauged yet: {named}{more}")
    return (*holds, *_holds_of_looks(overhaul, Occasion.AS_FOUND))


def _holds_of_looks(overhaul: Overhaul, occasion: Occasion) -> tuple[str, ...]:
    """The parts on which two differ, until a third has looked or one of the two has measured again."""
    refs = {place.part for place in overhaul.differing(occasion)}
    return tuple(f"two looks differ: {p.item} {p.name}, {occasion}" for p in overhaul.parts if p.ref in refs)


def _holds_before_decided(overhaul: Overhaul) -> tuple[str, ...]:
    """The fitter's signature, nothing left undecided or not gauged, and limits that somebody signed."""
    holds = [] if is_signed_gauged(overhaul) else ["the fitter has not signed the readings as they stand"]
    verdicts = judge_overhaul(overhaul)
    open_parts = to_settle(verdicts)
    holds += [f"{v.part.item} {v.part.name} is {v.verdict.word}" for v in open_parts]
    lapsed = [v for v in lapsed_decisions(overhaul, verdicts) if v not in open_parts]
    holds += [f"{_what(v)}: an entry came after the decision, decide again" for v in lapsed]
    holds += [f"{NOT_APPROVED}: {overhaul.sheet.title}"] if overhaul.is_approval_due else []
    return tuple(holds)


def _what(verdict: PartVerdict) -> str:
    """Name what was decided on: the part, or its set."""
    return verdict.with_set.name if verdict.with_set else f"{verdict.part.item} {verdict.part.name}"


def _holds_before_returned(overhaul: Overhaul) -> tuple[str, ...]:
    """Boxed up, and every proving step confirmed."""
    holds = [] if overhaul.signature(Meaning.DECIDED) else ["the decisions are not signed"]
    holds += box_up_holds(overhaul)
    steps = open_steps(overhaul, Phase.BOX_UP) + open_steps(overhaul, Phase.PROVE)
    holds += _holds_of_looks(overhaul, Occasion.AS_FITTED)
    return (*holds, *(f"not confirmed: {step.words}" for step in steps), *_holds_of_run(overhaul))


def _holds_of_run(overhaul: Overhaul) -> tuple[str, ...]:
    """A run within what the sheet says, where the sheet says what a run is held to."""
    if overhaul.sheet.proving is None:
        return ()
    if not overhaul.runs:
        return ("no run is entered",)
    outside = prove(overhaul.runs[-1], overhaul.sheet, overhaul.baseline).outside
    return tuple(f"the last run is not proved: {line.name} {line.reading}, {line.limit}" for line in outside)


def require_live(overhaul: Overhaul) -> None:
    """Refuse to work on what came in from paper: it is never signed or added to as if it were done now."""
    if overhaul.is_from_paper:
        raise Sealed(f"Overhaul {overhaul.number} of {overhaul.machine.tag} is {overhaul.origin}: it is read-only.")


def require_phase(overhaul: Overhaul, phase: Phase) -> None:
    """Refuse what does not belong to the phase the overhaul is in."""
    require_live(overhaul)
    now = phase_of(overhaul)
    signed = next((s for meaning in RETURNED if (s := overhaul.signature(meaning))), None)
    if signed and now is phase:
        raise Sealed(f"{signed.person} has signed “{signed.meaning}” over this: it is read-only.")
    if ORDER.index(now) > ORDER.index(phase):
        raise Sealed(
            f"Overhaul {overhaul.number} of {overhaul.machine.tag} is past “{phase}”: that is signed and read-only."
        )
    if ORDER.index(now) < ORDER.index(phase):
        raise NotYet(
            f"Overhaul {overhaul.number} of {overhaul.machine.tag} is at “{now}”. “{phase.capitalize()}” comes later."
        )


def require_unsealed_findings(overhaul: Overhaul) -> None:
    """Refuse an as-found entry before the machine is safe, or after the decisions are signed."""
    require_live(overhaul)
    now = phase_of(overhaul)
    if now is Phase.MAKE_SAFE:
        raise NotYet("Gauging begins when the machine is made safe: confirm every step first.")
    if now not in (Phase.GAUGE, Phase.DECIDE):
        raise Sealed("The decisions are signed: readings as found, verdicts and decisions are read-only.")


def check_signature(overhaul: Overhaul, meaning: Meaning, person: str) -> None:
    """Refuse a signature over a hold, a second one, or one by a person who may not give it."""
    require_live(overhaul)
    if overhaul.signature(meaning) and (meaning is not Meaning.GAUGED or _stands_gauged(overhaul)):
        raise Sealed(f"“{meaning.capitalize()}” is signed already.")
    holds = holds_before(overhaul, meaning)
    if holds:
        raise NotYet(f"Not yet: {'; '.join(holds)}.")
    other = OTHER_HAND.get(meaning)
    signed = overhaul.signature(other) if other else None
    if signed and signed.person == person:
        raise NotAllowed("The chief engineer's signature is by another person than the fitter's.")


def _stands_gauged(overhaul: Overhaul) -> bool:
    """Whether the fitter's signature is not to be given again: nothing came after it, or the decisions are signed."""
    return overhaul.signature(Meaning.DECIDED) is not None or is_signed_gauged(overhaul)
