"""Whether a pressure as typed is gauge or absolute: by what stands behind its figure, or by what was chosen for it."""

import re
from collections.abc import Mapping
from enum import StrEnum

from app.domain.running_limits import PressureUnit

SAID = re.compile(
    r"(?P<figure>[^a-z]*?)\s*(?P<unit>bar|psi)[ (.]*(?P<word>a|abs|absolute|g|gauge)[ ).]*", re.IGNORECASE
)
OF_RECEIVER = ("start-", "end-")


class Counted(StrEnum):
    """From where a pressure counts: from the air around, or from nothing at all."""

    GAUGE = "gauge"
    ABSOLUTE = "absolute"


def chosen_in(name: str) -> str:
    """Name the field in which it is chosen; the receiver has one for all its runs.

    >>> chosen_in("gauge-1"), chosen_in("end-3")
    ('gauge-1-is', 'receiver-is')
    """
    return "receiver-is" if name.startswith(OF_RECEIVER) else f"{name}-is"


def counted(typed: Mapping[str, str], name: str, unit: PressureUnit) -> tuple[str, Counted | None]:
    """Give the figure of a field without the word behind it, and which it is, None where neither says so.

    >>> counted({"gauge-1": "3.3 bara"}, "gauge-1", PressureUnit.BAR)
    ('3.3', <Counted.ABSOLUTE: 'absolute'>)
    """
    text = typed.get(name, "").strip()
    said = SAID.fullmatch(text)
    if said and said["unit"].lower() == unit.value:
        return said["figure"], Counted.ABSOLUTE if said["word"].lower().startswith("a") else Counted.GAUGE
    chosen = typed.get(chosen_in(name), "")
    return text, next((each for each in Counted if each.value == chosen), None)
