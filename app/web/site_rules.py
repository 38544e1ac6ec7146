"""The site's own rules, and confirming again that a machine is safe."""

from fastapi import APIRouter, Response

from app.actions.make_safe import confirm_safe_again
from app.actions.overhauls import overhaul
from app.actions.site_rules import change_rule, site_rules
from app.domain.errors import InputRefused, NotThere
from app.domain.people import Right
from app.domain.site_rules import RuleKind, in_force
from app.web.overhaul_strip import safe_again, strip
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, one

router = APIRouter()
KINDS = {"line": RuleKind.SAFE_LINE, "standby": RuleKind.STANDBY}


@router.get("/site-rules")
def show(visit: VisitNow) -> Response:
    """Show the rules that stand."""
    visit.person.must(Right.READ)
    return _rules(visit)


@router.post("/site-rules/{kind}")
def change(visit: VisitNow, kind: str, form: Form) -> Response:
    """Give a rule, or take one back."""
    if kind not in KINDS:
        raise NotThere("There is no such kind of rule.")
    words, is_given = one(form, kind), one(form, "end") != "yes"
    try:
        change_rule(visit.book, visit.person, KINDS[kind], words, is_given, visit.now)
    except InputRefused as refusal:
        return _rules(visit, {kind: words}, {kind: refusal.fields["words"]})
    return go(visit, "/site-rules")


@router.get("/overhauls/{overhaul_id}/safe-again")
def ask_again(visit: VisitNow, overhaul_id: int) -> Response:
    """Ask whoever goes on at the machine to confirm that it is still safe."""
    visit.person.must(Right.GAUGE)
    found = overhaul(visit.book, overhaul_id)
    return page(visit, "overhaul/safe_again.html", strip=strip(visit, found), why=safe_again(visit, found))


@router.post("/overhauls/{overhaul_id}/safe-again")
def again(visit: VisitNow, overhaul_id: int, _form: Form) -> Response:
    """Keep it, and go on where the work stands."""
    confirm_safe_again(visit.book, visit.person, overhaul_id, visit.now)
    return go(visit, f"/overhauls/{overhaul_id}")


def _rules(visit: Visit, typed: dict[str, str] | None = None, errors: dict[str, str] | None = None) -> Response:
    """Show the rules that stand, with what was typed."""
    rules = site_rules(visit.book)
    shown = {name: in_force(rules, kind) for name, kind in KINDS.items()}
    status = 422 if errors else 200
    may = visit.person.may(Right.MANAGE_MACHINES)
    return page(visit, "machines/site_rules.html", status, rules=shown, may=may, typed=typed or {}, errors=errors or {})
