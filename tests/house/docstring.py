"""The docstring of a function that computes: its sections, its parameters and their units."""

import ast
import re
from dataclasses import dataclass, field

from app.domain.units import registry

SECTIONS = ("Formula:", "Parameters:", "Returns:", "Safe side:", "Valid:", "Sources:")
PARAMETER = re.compile(r"^    (?P<name>\w+) \[(?P<unit>[^\]]+)\]:", re.MULTILINE)
UNIT = re.compile(r"\[(?P<unit>[^\]]+)\]")
# What a name promises by its ending, and the units that keep the promise.
ENDINGS = {"mm": ("mm",), "c": ("degC",), "hours": ("h",), "h": ("h", "mm per 1000 h"), "per_k": ("1/K",)}


@dataclass(frozen=True)
class Documented:
    """A docstring taken apart: the text of each section, and the unit of each parameter."""

    text: str
    sections: dict[str, str] = field(default_factory=dict)

    @property
    def parameters(self) -> dict[str, str]:
        """Each parameter's unit, by its name."""
        return {m["name"]: m["unit"] for m in PARAMETER.finditer(self.sections.get("Parameters:", ""))}

    @property
    def returned_units(self) -> list[str]:
        """The units named for the result."""
        return UNIT.findall(self.sections.get("Returns:", ""))


def take_apart(text: str) -> Documented:
    """Take a docstring apart at its sections."""
    starts = re.compile("^(" + "|".join(SECTIONS) + ")", re.MULTILINE)
    pieces = starts.split(text)
    return Documented(text, dict(zip(pieces[1::2], pieces[2::2], strict=True)))


def takes(function: ast.FunctionDef | ast.AsyncFunctionDef) -> dict[str, str]:
    """Give the annotation of each parameter by name, self aside."""
    arguments = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    return {a.arg: ast.unparse(a.annotation) if a.annotation else "" for a in arguments if a.arg not in ("self", "cls")}


def is_unit(written: str) -> bool:
    """Whether every unit of a list such as "mm, mm/h" is one that the registry knows; "-" is no unit, on purpose."""
    return all(unit == "-" or _is_known(unit) for unit in re.split(r", | or ", written))


def _is_known(unit: str) -> bool:
    """Whether the registry knows a unit."""
    if not unit:
        return False
    try:
        registry().parse_units(unit.replace(" per 1000 ", "/"))
    except (ValueError, AttributeError):
        return False
    return True


def promised(name: str) -> tuple[str, ...]:
    """Give the units that a name's ending allows; none where it promises nothing."""
    return next((units for ending, units in ENDINGS.items() if name.endswith(f"_{ending}")), ())
