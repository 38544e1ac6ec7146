"""Repeatable chance: the same name always draws the same figures, whatever else is drawn before."""

from random import Random

SEED = "Quillmoor"


def chance(*about: object) -> Random:
    """Give a source of chance of its own for each thing that is named."""
    return Random("/".join([SEED, *map(str, about)]))  # noqa: S311 - repeatable figures are wanted, not secrets
