"""Bands of two leaves: what is said of each pair of stretches that the two lie in."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from app.domain.bands import Said

NONE = -1  # where the leaf that does not go would be no thicker than the one that goes, or the book alone can say
REASON = "reason"

AskLeaves = Callable[[int, int | None], Said]
Stretch = tuple[int, int]


@dataclass(frozen=True)
class LeafBands:
    """Where the stretches of both leaves begin, and what is said of each pair, last of a leaf that goes alone."""

    starts: tuple[int, ...]
    said: tuple[Said, ...]
    table: tuple[tuple[int, ...], ...]


def find_leaf_bands(ask: AskLeaves, marks: Iterable[int], ends: tuple[int, int]) -> LeafBands:
    """Ask for every pair of stretches between the marks at both ends; a mark is a stretch by itself."""
    beside = {mark + step for mark in marks for step in (0, 1) if ends[0] < mark + step <= ends[1]}
    starts = tuple(sorted({ends[0], *beside}))
    stretches = list(zip(starts, (*(start - 1 for start in starts[1:]), ends[1]), strict=True))
    said: list[Said] = []
    table = tuple(tuple(_asked(ask, said, one, other) for other in (*stretches, None)) for one in stretches)
    return LeafBands(starts, tuple(said), table)


def _asked(ask: AskLeaves, said: list[Said], goes: Stretch, stops: Stretch | None) -> int:
    """Ask for one pair of stretches; give the place of what is said among all that is."""
    answers = [ask(*pair) for pair in _pairs(goes, stops)]
    answer = _together(answers[0], answers[-1]) if answers else None
    if answer is None:
        return NONE
    if answer not in said:
        said.append(answer)
    return said.index(answer)


def _pairs(goes: Stretch, stops: Stretch | None) -> list[tuple[int, int | None]]:
    """The thinnest and the thickest pair of two stretches, each once; none where no leaf is thicker than the other."""
    if stops is None:
        return [(end, None) for end in dict.fromkeys(goes)]
    thinnest = goes[0], max(stops[0], goes[0] + 1)
    thickest = min(goes[1], stops[1] - 1), stops[1]
    return [pair for pair in dict.fromkeys((thinnest, thickest)) if goes[0] <= pair[0] < pair[1] <= stops[1]]


def _together(first: Said, last: Said) -> Said | None:
    """What is said of every pair of two stretches; nothing where the verdict is not the same.

    Which of two limits is nearer goes by both leaves, so that it may turn within: then the reasons of both hold and
    stand together, and a sentence that is not said everywhere is left to the book.
    """
    if (first.verdict, first.renews) != (last.verdict, last.renews):
        return None
    reasons = dict.fromkeys(line for said in (first, last) for line in said.lines if line[0] == REASON)
    others = [line for line in first.lines if line[0] != REASON and line in last.lines]
    return Said(first.verdict, first.renews, (*reasons, *others))
