"""Which leaf settles a gap that is still undecided, and what each of its two answers leads to."""

from decimal import Decimal

from app.domain.judgement import Against, compare_goes, compare_leaves, settling_leaf
from app.domain.limits import Characteristic, Limit
from app.domain.numbers import figure

NO_LEAF = "No leaf of this set settles it: gauge another way, or leave it to the chief engineer."
ERRORS_COUNT = "The leaves' own errors count here: gauge it more finely, or leave it to the chief engineer."


def leaf_advice(
    goes_mm: Decimal,
    does_not_go_mm: Decimal | None,
    limit: Limit,
    characteristic: Characteristic,
    makeable_mm: tuple[Decimal, ...],
) -> str:
    """Say which leaf to try at an undecided gap, and what follows when it goes and when it does not."""
    leaf_mm = settling_leaf(goes_mm, does_not_go_mm, limit, makeable_mm)
    if leaf_mm is None:
        return NO_LEAF
    stops = _answer(goes_mm, leaf_mm, limit, characteristic, makeable_mm)
    goes = _answer(leaf_mm, does_not_go_mm, limit, characteristic, makeable_mm)
    return f"Try {_leaf(leaf_mm, characteristic)}. Does not go: {stops}. Goes: {goes}."


def _answer(
    goes_mm: Decimal,
    does_not_go_mm: Decimal | None,
    limit: Limit,
    characteristic: Characteristic,
    makeable_mm: tuple[Decimal, ...],
) -> str:
    """Say what a gap between these two leaves comes to: a verdict, or the next leaf to try."""
    stands = (
        compare_goes(goes_mm, limit)
        if does_not_go_mm is None
        else compare_leaves(goes_mm, does_not_go_mm, limit, makeable_mm)
    )
    if stands is Against.UNPROVEN:
        next_mm = settling_leaf(goes_mm, does_not_go_mm, limit, makeable_mm)
        return "still UNDECIDED" if next_mm is None else f"try {_leaf(next_mm, characteristic)}"
    return "REUSE" if stands is Against.CONFORMS else limit.outcome.word


def _leaf(leaf_mm: Decimal, characteristic: Characteristic) -> str:
    """Write a leaf as the sheet writes its figures."""
    return figure(leaf_mm, characteristic.unit, characteristic.decimals)
