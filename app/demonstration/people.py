"""The invented people of the demonstration; their passwords stand on its sign-in page and open nothing else."""

from typing import NamedTuple

from app.domain.people import Role


class Invented(NamedTuple):
    """One invented person."""

    name: str
    role: Role
    password: str


PEOPLE = (
    Invented("M. Tarrow", Role.FITTER, "feeler-and-lamp"),
    Invented("I. Brandreth", Role.CHIEF, "bore-and-stroke"),
    Invented("R. Osk", Role.CHIEF, "plate-and-spring"),
    Invented("S. Venn", Role.AUDITOR, "book-and-seal"),
)
