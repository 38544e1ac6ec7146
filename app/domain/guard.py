"""Whose rule says how wide the guard of the guarded rule is."""

from enum import StrEnum


class Guard(StrEnum):
    """How wide the guarded rule's guard is, and whose rule that is."""

    ISO_14253 = "ISO 14253-1"
    ILAC_G8 = "ILAC-G8"
