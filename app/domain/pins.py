"""PINs: a few digits that open an idle sign-in again on one tablet; which are refused, and how often one errs."""

from itertools import pairwise

SHORTEST, LONGEST = 4, 8
MOST_WRONG = 5
FEWEST_DIFFERENT = 3
CENTURIES = ("19", "20")


def pin_fault(pin: str) -> str:
    """Say what is wrong with a PIN that somebody chooses; nothing where it may be used.

    >>> [bool(pin_fault(pin)) for pin in ("2749", "274", "27a9", "1234", "9630", "7777", "4545", "1987", "5855")]
    [False, True, True, True, True, True, True, True, True]
    """
    if not (SHORTEST <= len(pin) <= LONGEST and pin.isascii() and pin.isdigit()):
        return f"A PIN has {SHORTEST} to {LONGEST} digits."
    if is_among_the_first_tried(pin):
        return "This is among the first PINs that would be tried: a row, a repetition or a year. Choose another."
    return ""


def is_among_the_first_tried(pin: str) -> bool:
    """Whether digits rise or fall by even steps, repeat themselves, are hardly different, or are a year."""
    steps = {(int(after) - int(before)) % 10 for before, after in pairwise(pin)}
    half = pin[: len(pin) // 2]
    is_year = len(pin) == SHORTEST and pin.startswith(CENTURIES)
    return len(steps) == 1 or len(set(pin)) < FEWEST_DIFFERENT or half * 2 == pin or is_year


def tries_left(wrong: int) -> int:
    """Give how many more wrong PINs are taken before the password alone opens.

    >>> [tries_left(wrong) for wrong in (0, 4, 5, 6)]
    [5, 1, 0, 0]
    """
    return max(MOST_WRONG - wrong, 0)
