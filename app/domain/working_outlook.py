"""The working of a forecast: the readings of the life, both rates, and what follows."""

from app.domain.outlook import Outlook
from app.domain.wear import SizeReading, wear_rate_mm_per_1000_h
from app.domain.working_steps import WorkingStep, plain, rounded

SOURCE = "rate = 1000 x (y now - y then) / (h now - h then), within one part's life; arithmetic"


def outlook_step(outlook: Outlook) -> WorkingStep:
    """Show the readings, the rates and the forecast of one size."""
    readings = "; ".join(f"{plain(r.size_mm)} mm at {r.operating_hours:f} h" for r in outlook.life.readings)
    lines = [f"Readings of this life: {readings}."]
    pairs = (("Since new", outlook.life.since_new), ("Last interval", outlook.life.last_interval))
    lines += [_rate(name, *pair) for name, pair in pairs if pair is not None]
    return WorkingStep(f"Outlook: {outlook.name}", (*lines, outlook.words), SOURCE)


def _rate(name: str, earlier: SizeReading, later: SizeReading) -> str:
    """Work one rate out."""
    rate = wear_rate_mm_per_1000_h(earlier, later)
    sizes = f"{plain(later.size_mm)} − {plain(earlier.size_mm)}"
    hours = f"{later.operating_hours:f} − {earlier.operating_hours:f}"
    return f"{name}: 1000 × ({sizes}) / ({hours}) {rounded(rate)} mm per 1000 h."
