"""Errors of the trade, each named for the reason it is refused."""


class WearbookError(Exception):
    """Base of every refusal; its text is written for the person at the page."""


class InputRefused(WearbookError):
    """One or more fields were refused; `fields` maps the field's name to what is allowed there."""

    def __init__(self, fields: dict[str, str]) -> None:
        super().__init__("; ".join(f"{name}: {words}" for name, words in fields.items()))
        self.fields = fields


class SlipAsked(InputRefused):
    """A size looks like a slip; it is measured again, or kept with a reason."""


class NumberRefused(WearbookError):
    """What was typed is not one plain number."""


class UnitMismatch(WearbookError):
    """What was typed carries a unit of another kind than the field's."""


class LimitMissing(WearbookError):
    """A limit was asked for that the sheet does not hold."""


class NotThere(WearbookError):
    """The thing asked for is not in the book."""


class NotAllowed(WearbookError):
    """The person's role does not cover this."""


class Sealed(WearbookError):
    """The content has been signed and can no longer change."""


class NotYet(WearbookError):
    """A hold point stands before this step; the text names it."""
