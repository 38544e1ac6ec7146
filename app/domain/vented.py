"""Whether a gauge says that a stage is vented: it reads nought, or rests a little off it and the person says why."""

import re
from decimal import Decimal

from app.domain.running_limits import PressureUnit

READ = re.compile(r"([0-9]{1,6}(?:[.,][0-9]{1,6})?)\s*(bar|psi|kpa|mbar)?\b[,;:.\s]*(.*)", re.IGNORECASE | re.DOTALL)
MORE = re.compile(r"\W*[0-9]")  # a second figure where words may stand: which of the two the gauge reads is not told
BAR = {"mbar": Decimal("0.001"), "kpa": Decimal("0.01"), "bar": Decimal(1)}
OFF_BAR = Decimal("0.5")  # further off nought no pointer rests by itself: common practice, no source
SHORTEST_WHY = 8
AIR_BAR = (Decimal("0.9"), Decimal("1.1"))


def wrong_gauge(typed: str, unit: PressureUnit) -> str:
    """Say why a gauge does not show that a stage is vented; nothing where it does.

    >>> wrong_gauge("0.0 bar", PressureUnit.BAR), wrong_gauge("0,1 bar, pointer bent", PressureUnit.BAR)
    ('', '')
    """
    read = READ.fullmatch(typed.strip())
    if not read or MORE.match(read[3]):
        return "Type what the gauge reads, one figure first: 0, or 0.0 bar."
    figure, own, why = Decimal(read[1].replace(",", ".")), (read[2] or unit.value).lower(), read[3].strip()
    in_bar = PressureUnit.PSI.bar(figure) if own == PressureUnit.PSI.value else figure * BAR[own]
    if in_bar == 0 or (in_bar <= OFF_BAR and len(why) >= SHORTEST_WHY):
        return ""
    if in_bar <= OFF_BAR:
        return "Not nought. Vent on and read again; if the pointer rests there with the line open, say so behind it."
    absolute = " A gauge that counts absolute shows the air around: use one that shows 0 for it."
    return "There is pressure in this stage: nothing is opened. Vent it and read again." + (
        absolute if AIR_BAR[0] <= in_bar <= AIR_BAR[1] else ""
    )
