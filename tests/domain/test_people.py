"""Who may do what: the fitter gauges, the chief engineer decides, the auditor reads."""

import pytest

from app.domain.errors import NotAllowed
from app.domain.people import RIGHTS, Person, Right, Role

FITTER, CHIEF, AUDITOR = (Person(n, "M. Tarrow", role) for n, role in enumerate(Role))


def test_a_fitter_gauges_and_signs_but_decides_nothing_and_changes_no_sheet():
    assert {right for right in Right if FITTER.may(right)} == {
        Right.READ,
        Right.GAUGE,
        Right.OPEN,
        Right.SIGN_GAUGED,
        Right.SIGN_RETURNED,
        Right.RECORD_HOURS,
        Right.SERVICE,
        Right.COUNT_STOCK,
    }


def test_a_chief_engineer_may_do_everything_and_an_auditor_only_read():
    assert all(CHIEF.may(right) for right in Right)
    assert [right for right in Right if AUDITOR.may(right)] == [Right.READ, Right.SEE_READS]
    assert set(RIGHTS) == set(Role)


@pytest.mark.parametrize("right", list(Right))
def test_a_person_who_left_may_do_nothing(right):
    gone = Person(2, "I. Brandreth", Role.CHIEF, is_active=False)

    with pytest.raises(NotAllowed, match=f"This role may not {right}"):
        gone.must(right)


def test_what_a_role_covers_is_allowed_without_a_word():
    FITTER.must(Right.GAUGE)
