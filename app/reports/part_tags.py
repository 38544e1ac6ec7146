"""The section drawing of a stage, filled with the verdicts of its parts."""

from app.domain.limits import Part, Stage
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import SetVerdict, is_with_the_set, judge_sets, missing_places
from app.domain.part_verdicts import PartVerdict
from app.domain.verdicts import Verdict
from app.reports.section import RingSetVerdict, SectionInput, SectionLayout, SectionPart
from app.reports.section_layout import lay_out_record_section, lay_out_section


def stage_layout(
    overhaul: Overhaul,
    stage: Stage,
    verdicts: tuple[PartVerdict, ...],
    selected: str = "",
    base: str = "gauge",
    for_record: bool = False,
) -> SectionLayout:
    """Lay the section of a stage out, every part lined with its verdict."""
    lay_out = lay_out_record_section if for_record else lay_out_section
    return lay_out(stage_section(overhaul, stage, verdicts, selected, base))


def stage_section(
    overhaul: Overhaul, stage: Stage, verdicts: tuple[PartVerdict, ...], selected: str, base: str
) -> SectionInput:
    """Collect what the drawing of a stage shows."""
    shown = [verdict for verdict in verdicts if verdict.part.stage == stage.number]
    parts = tuple(_tag(overhaul, verdict, selected, base) for verdict in shown)
    sets = [s for s in judge_sets(overhaul, verdicts) if s.part_set.stage == stage.number]
    return SectionInput(f"⌀ {stage.bore.typed}", parts, tuple(_set(one) for one in sets))


def _set(verdict: SetVerdict) -> RingSetVerdict:
    """The brace of a set."""
    return RingSetVerdict(verdict.part_set.ref, verdict.part_set.name, verdict.verdict.value, verdict.verdict.word)


def _tag(overhaul: Overhaul, verdict: PartVerdict, selected: str, base: str) -> SectionPart:
    """One part's tag."""
    part = verdict.part
    part_set = overhaul.sheet.set_of(part.ref)
    return SectionPart(
        key=part.ref,
        item=part.item,
        name=part.name,
        kind=part.kind.value,
        port=part.port or None,
        verdict=verdict.verdict.value,
        word=verdict.verdict.word,
        figure=tag_figure(overhaul, verdict),
        note=tag_note(verdict),
        href=f"/overhauls/{overhaul.id}/{base}/{part.ref}",
        selected=part.ref == selected,
        set_key=part_set.ref if part_set else None,
    )


def tag_figure(overhaul: Overhaul, verdict: PartVerdict) -> str:
    """The deciding number with its measure; before it can decide, how far the part is gauged."""
    part = verdict.part
    if verdict.own is Verdict.NOT_GAUGED and missing_places(overhaul, part):
        done = len(part.required) - len(missing_places(overhaul, part))
        return f"{done} of {len(part.required)}"
    deciding = verdict.deciding
    if deciding.measure == "condition" and verdict.verdict is Verdict.REUSE:
        return "sound"
    return deciding.figure


def tag_note(verdict: PartVerdict) -> str:
    """What stands beside the verdict's word."""
    if is_with_the_set(verdict):
        return "with the set"
    if verdict.verdict is Verdict.RENEW and verdict.renews:
        return verdict.renews
    if verdict.waits_for:
        return f"waits for {verdict.waits_for[0].name.lower()}"
    return "decided" if verdict.decision else ""


def place_words(part: Part, characteristic: str, level: str = "", axis: str = "") -> str:
    """Name a place as a person does: ring 2, closed gap, unworn end."""
    found = part.characteristic(characteristic)
    what = f"{found.name[:1].lower()}{found.name[1:]}" if found else "condition"
    return ", ".join(word for word in (part.name, what, level, axis) if word)
