"""The section of a stage in the making: whatever of it is known is drawn, broken where figures are missing."""

from collections.abc import Mapping

from app.domain.draft_values import Values, key_of, shown, tables
from app.reports.section import PartKind, SectionInput, SectionLayout, SectionPart
from app.reports.section_layout import lay_out_record_section

MOST_ALIKE = 12
MOST_DRAWN = 20
DRAWN, OPEN = "drawn", "notgauged"


def draft_layout(number: int, stage: Values, missing: Mapping[str, int]) -> SectionLayout:
    """Lay the section of a stage out; missing counts the figures to fill in by the part's key."""
    parts = [part for each in tables(stage, "part") for part in _parts(each, missing)]
    numbered = tuple(_part(f"{number}-{index:02d}", *part) for index, part in enumerate(parts[:MOST_DRAWN], start=1))
    return lay_out_record_section(SectionInput(f"⌀ {shown(stage.get('bore'))[:12] or '?'}", numbered))


def _parts(part: Values, missing: Mapping[str, int]) -> list[tuple[Values, str, str, int]]:
    """Set a part out as often as it is fitted: its tables, its key, its name and what is missing."""
    key, name, count = key_of(part), shown(part.get("name")), part.get("count")
    alike = min(count, MOST_ALIKE) if isinstance(count, int) else 0
    open_figures = missing.get(key, 0)
    if not alike:
        return [(part, key, name, open_figures)]
    return [(part, f"{key}-{place}", f"{name} {place}", open_figures) for place in range(1, alike + 1)]


def _part(item: str, part: Values, key: str, name: str, open_figures: int) -> SectionPart:
    """Make one part of the drawing."""
    kind = shown(part.get("kind"))
    return SectionPart(
        key=key,
        item=item,
        name=name[:24],
        kind=kind if kind in tuple(PartKind) else PartKind.OTHER,
        port=shown(part.get("port")) or "suction",
        verdict=OPEN if open_figures else DRAWN,
        word="",
        figure="",
        note="",
        href="",
    )
