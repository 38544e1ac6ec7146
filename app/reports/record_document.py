"""The record of an overhaul as a document: everything that stands on its pages, in words ready to be set."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

from app.domain.amended_verdicts import verdicts_by
from app.domain.amendments import Amendment, Witness
from app.domain.approvals import approval_words
from app.domain.overhaul import Meaning, Overhaul, Phase, Signature
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.parts_list import ALWAYS, parts_to_order
from app.domain.people import initials_of
from app.domain.phases import CLOSED, phase_of
from app.domain.photos import Photo
from app.domain.steps import steps_of
from app.domain.verdicts import Verdict
from app.reports.drawings import mark_svg, plot_svg, qr_svg
from app.reports.moments import moment_writer
from app.reports.record_cover import KEY, covers_of, people_in, verdict_counts
from app.reports.record_document_stage import stage_document
from app.reports.record_proving import again_words, record_runs, run_document
from app.reports.record_sheets import stage_sheets
from app.reports.trend_plot import TrendPlotLayout

STEP_LISTS = (Phase.MAKE_SAFE, Phase.BOX_UP, Phase.PROVE)
Moment = Callable[[datetime], str]
Document = dict[str, object]


@dataclass(frozen=True)
class RecordInput:
    """What a record is set from: the overhaul, how its rings wear, the site's time zone, instruments and pictures."""

    overhaul: Overhaul
    plots: Sequence[TrendPlotLayout]
    zone: str
    is_invented: bool = False
    instruments: Sequence[tuple[str, str]] = ()  # each with what it was worth on the days it was used
    pictures: Mapping[str, bytes] = field(default_factory=dict)  # by the digest of the whole picture

    @property
    def is_draft(self) -> bool:
        """Whether a signature is still missing."""
        return phase_of(self.overhaul) not in CLOSED

    @property
    def name(self) -> str:
        """The name under which the record is filed: GA-1-4, with the word draft until all have signed."""
        name = f"{self.overhaul.machine.tag}-{self.overhaul.number}"
        return f"{name}-draft" if self.is_draft else name


def record_document(given: RecordInput, now: datetime) -> Document:
    """Lay a record out; a signed one is dated by its last signature, so that it is the same file every time."""
    overhaul, verdicts, write = given.overhaul, judge_overhaul(given.overhaul), moment_writer(given.zone)
    last = overhaul.signatures[-1] if overhaul.signatures else None
    dated = max([s.at for s in overhaul.signatures] + amended_at(overhaul), default=now)
    return {
        "title": _title(given),
        "is_draft": given.is_draft,
        "is_invented": given.is_invented,
        "name": given.name,
        "made_at": (now if last is None or given.is_draft else dated).isoformat(),
        "made": write(now) if given.is_draft else "",
        **_head(overhaul, write, given.zone),
        "counts": [[word.word, str(count)] for word, count in verdict_counts(verdicts)],
        **_order(overhaul, verdicts),
        "steps": [_steps(overhaul, phase, write) for phase in STEP_LISTS if not overhaul.is_from_paper],
        "again": again_words(overhaul, write),
        "runs": [run_document(one, write) for one in record_runs(overhaul)],
        "key": [[verdict.word, means] for verdict, means in KEY],
        "marks": [{"word": verdict.word, "svg": mark_svg(verdict)} for verdict in Verdict],
        "people": [f"{short} is {name}" for short, name in people_in(overhaul)],
        "stages": [stage_document(sheet, write, overhaul.is_from_paper) for sheet in stage_sheets(overhaul)],
        "instruments": [list(each) for each in given.instruments],
        "photos": [_photo(given, photo, write) for photo in overhaul.photos if photo.stands],
        "plots": [{"title": plot.title, "svg": plot_svg(plot), "alt": plot.spoken} for plot in given.plots],
        "signatures": [_signature(overhaul, meaning, covers, write) for meaning, covers in covers_of(overhaul).items()]
        + [_witness(each, write) for each in overhaul.witnesses],
        "amendments": [_amendment(overhaul, each, write) for each in overhaul.amendments],
        "proof": None if last is None else _proof(overhaul, last),
    }


def _witness(witness: Witness, write: Moment) -> Document:
    """A witness beside the signatures."""
    how = f"{witness.body}; entered by {witness.person}, {write(witness.at)}"
    covers = f"that “{witness.meaning}” was signed"
    return {"meaning": "Witnessed", "person": witness.name, "how": how, "covers": covers, "digest": witness.digest}


def amended_at(overhaul: Overhaul) -> list[datetime]:
    """The moments at which an amendment, a witness or an approval has changed what the record shows."""
    seals = [each.at for each in overhaul.witnesses] + [each.at for each in overhaul.approvals]
    return seals + [
        moment for each in overhaul.amendments for moment in (each.at, each.answer.at if each.answer else each.at)
    ]


def _amendment(overhaul: Overhaul, amendment: Amendment, write: Moment) -> list[str]:
    """An amendment with whoever proposed it, its answer or that it has none, and the verdicts that it leads to."""
    answer = f", {write(amendment.answer.at)}; {amendment.answer.digest[:8]}" if amendment.answer else ""
    by = f"{amendment.person}, {write(amendment.at)}. {amendment.standing}{answer}"
    verdicts = verdict_words(overhaul, amendment)
    return [amendment.what, amendment.old, amendment.new, amendment.reason, verdicts or "not judged", by]


def verdict_words(overhaul: Overhaul, amendment: Amendment) -> str:
    """Say what verdicts an amendment leads to, those that differ loudly; nothing where it is in words alone."""
    found = verdicts_by(overhaul, amendment)
    return "; ".join(f"DIFFERS: {each.named}" if each.differs else each.named for each in found)


def _photo(given: RecordInput, photo: Photo, write: Moment) -> Document:
    """A photo, small, with its words and the digest of the whole picture, which is in the book and in every bundle."""
    part = given.overhaul.sheet.part(photo.part)
    item = f"{part.item} {part.name}" if part else photo.part
    shown = next((reading.written for reading in given.overhaul.readings if reading.id == photo.reading), "")
    words = [item, f"shows {shown}" if shown else "", photo.note]
    said = "; ".join(word for word in words if word)
    return {
        "picture": list(given.pictures.get(photo.digest, b"")),
        "alt": f"Photo of {said}",
        "words": said,
        "by": f"{photo.person}, "
        + (f"taken {write(photo.taken_at)}, in the book " if photo.taken_at else "")
        + write(photo.at),
        "digest": photo.digest,
    }


def _title(given: RecordInput) -> str:
    """The title, which says of itself when it is a draft or of an invented machine."""
    overhaul = given.overhaul
    origin = f", {overhaul.origin}" if overhaul.is_from_paper else ""
    title = f"Record of overhaul {overhaul.number}: {overhaul.machine.tag}{origin}"
    return ("DRAFT, not signed. " if given.is_draft else "") + title + (", invented data" if given.is_invented else "")


def _head(overhaul: Overhaul, write: Moment, zone: str) -> Document:
    """The title block: which machine, when, by which limits."""
    machine, sheet = overhaul.machine, overhaul.sheet
    return {
        "overhaul": f"Overhaul {overhaul.number}",
        "machine": f"{machine.tag}, {machine.name}, {machine.site}; serial {machine.serial}",
        "hours": f"{overhaul.hours:,f} h".replace(",", "\N{NO-BREAK SPACE}"),
        "opened": _opened(overhaul, write, zone),
        "paper": overhaul.paper,
        "done_words": "What was done, by the paper" if overhaul.paper else "Decisions of the chief engineer",
        "scope": overhaul.scope.words.capitalize(),
        "sheet": f"Sheet {sheet.title}, {sheet.machine_type}; from {sheet.document}, {sheet.page}; "
        f"{sheet.approver} answers for it",
        "limits": _limits(overhaul, write),
        "rule": f"Decision rule: {sheet.rule.value}"
        + (" (a reading within its limit conforms, ILAC-G8:09/2019, 4.2.1)" if sheet.rule.value == "simple" else ""),
        "times": f"Times are {zone}, with UTC beside them" if zone != "UTC" else "Times are UTC",
        "unit": f"Readings stand as typed, with their unit. Limits without a unit are in {sheet.unit.value}. "
        "No temperature beside a reading: not recorded, taken as 20 °C.",
    }


def decided_at(overhaul: Overhaul) -> datetime | None:
    """When the decisions were signed."""
    signature = overhaul.signature(Meaning.DECIDED)
    return signature.at if signature else None


def _limits(overhaul: Overhaul, write: Moment) -> str:
    """Whether the limits are approved by signature, and whose."""
    words = approval_words(overhaul.approvals, decided_at(overhaul))
    signed = "; ".join(f"{each.person}, {write(each.at)}, {each.digest[:8]}" for each in overhaul.approvals)
    return f"{words[:1].upper()}{words[1:]}{': ' if signed else ''}{signed}."


def _opened(overhaul: Overhaul, write: Moment, zone: str) -> str:
    """When it was opened and by whom, or its day on paper and who entered it."""
    if overhaul.is_from_paper:
        done = overhaul.opened_at.astimezone(ZoneInfo(zone))
        return f"done {done.day} {done:%b %Y}; {overhaul.origin}"
    return f"opened {write(overhaul.opened_at)} by {overhaul.opened_by}"


def _order(overhaul: Overhaul, verdicts: tuple[PartVerdict, ...]) -> Document:
    """The parts to order by verdict, and those that are always renewed."""
    lines = parts_to_order(overhaul, verdicts)
    wanted = [line for line in lines if line.why != ALWAYS]
    always = [f"{line.quantity} {line.name} ({line.number})" for line in lines if line.why == ALWAYS]
    return {
        "order": [
            [line.name, line.number + (f", {line.kit}" if line.kit else ""), str(line.quantity), line.why]
            for line in wanted
        ],
        "always": f"{ALWAYS.capitalize()}: {'; '.join(always)}." if always else "",
    }


def _steps(overhaul: Overhaul, phase: Phase, write: Moment) -> Document:
    """The steps of a phase with who confirmed each, and the value it asks for: torque, pressure, minutes."""
    rows = []
    for step in steps_of(overhaul, phase):
        confirmed = overhaul.confirmation(phase, step.key)
        by = f"{initials_of(confirmed.person)} {write(confirmed.at)}" if confirmed else "not confirmed"
        rows.append([step.words, confirmed.value if confirmed else "", by])
    return {"phase": phase.value.capitalize(), "rows": rows}


def _signature(overhaul: Overhaul, meaning: Meaning, covers: str, write: Moment) -> Document:
    """A signature with what it covers, or that it is missing."""
    signature = overhaul.signature(meaning)
    words: Document = {"meaning": meaning.value.capitalize(), "covers": covers}
    if signature is None:
        return words | {"person": "not signed", "how": "", "digest": ""}
    how = f"signed with the password, {write(signature.at)}"
    return words | {"person": signature.person, "how": how, "digest": signature.digest}


def _proof(overhaul: Overhaul, last: Signature) -> Document:
    """The digest of the last signature as a code for a camera."""
    record = f"{overhaul.machine.tag} overhaul {overhaul.number}"
    text = f"{record}\n{last.meaning.value}: {last.person}\n{last.at.isoformat()}\nSHA-256 {last.digest}"
    return {
        "svg": qr_svg(text),
        "alt": f"QR code of: {text}",
        "words": f"The code holds the digest of “{last.meaning}”.",
    }
