"""Parts of a limit sheet's file set out one by one: for each cylinder, and for each of their count."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.domain.limits import PartKind
from app.domain.sheet_parts import MOST_PARTS, OF_CYLINDER, Draft, StageFrame, read_draft
from app.domain.sheet_table import LONGEST_TEXT, Table


@dataclass(frozen=True)
class Copy:
    """One part set out, with its own key and name, on a cylinder or (0) on the stage."""

    draft: Draft
    key: str
    name: str
    cylinder: int

    @property
    def kind(self) -> PartKind:
        """Its kind of part."""
        return self.draft.part.kind

    def answers_to(self, name: str) -> bool:
        """Whether a name in the file means this part: its own key, or the key that it was set out from."""
        return name in (self.key, self.draft.part.key)

    def shares_cylinder(self, other: "Copy") -> bool:
        """Whether both are on one cylinder, or one of them on the whole stage."""
        return 0 in (self.cylinder, other.cylinder) or self.cylinder == other.cylinder


def read_copies(table: Table, frame: StageFrame) -> list[Copy]:
    """Read the parts of a stage and set them out."""
    drafts = [read_draft(part, frame) for part in table.tables("part", MOST_PARTS)]
    copies = [copy for draft in drafts for copy in _copies_of(draft, frame.cylinders)]
    if len(copies) > MOST_PARTS:
        table.refuse("part", f"at most {MOST_PARTS} parts in a stage; found {len(copies)}")
    copies = copies[:MOST_PARTS]
    for index, copy in enumerate(copies):
        if copy.key and copy.key in (earlier.key for earlier in copies[:index]):
            copy.draft.table.refuse("key", f"a key that no other part of the stage has; found “{copy.key}” twice")
        if max(len(copy.key), len(copy.name)) > LONGEST_TEXT:
            copy.draft.table.refuse("", "a shorter key or name, so that number and cylinder can be added to it")
    return copies


def names_of(copies: Sequence[Copy]) -> set[str]:
    """Every name that a part in a list answers to."""
    return {name for copy in copies for name in (copy.key, copy.draft.part.key) if name}


def _copies_of(draft: Draft, cylinders: int) -> list[Copy]:
    """Set a part out: for each cylinder, then for each of its count."""
    of_key = OF_CYLINDER.fullmatch(draft.part.key) if cylinders > 1 else None
    if of_key:
        return _counted(draft, int(of_key[1]), "", "")
    chosen = (draft.cylinder,) if draft.cylinder else range(1, cylinders + 1)
    if cylinders == 1 or (draft.part.kind is PartKind.OTHER and not draft.cylinder):
        return _counted(draft, 0, "", "")
    return [copy for number in chosen for copy in _counted(draft, number, f"c{number}-", f", cylinder {number}")]


def _counted(draft: Draft, cylinder: int, before: str, behind: str) -> list[Copy]:
    """Set out each of a count on one cylinder."""
    key, name = f"{before}{draft.part.key}", draft.part.name
    if not draft.count:
        return [Copy(draft, key, f"{name}{behind}", cylinder)]
    return [Copy(draft, f"{key}-{n}", f"{name} {n}{behind}", cylinder) for n in range(1, draft.count + 1)]
