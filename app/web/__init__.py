"""HTTP only: read the request, call one action, choose a template."""

from fastapi import APIRouter

from app.web import convertors as convertors  # registers the words that addresses may hold
from app.web import (
    deciding,
    due,
    fittings,
    gauging,
    health,
    history,
    hours,
    hours_call,
    machines,
    opening,
    own_settings,
    people,
    record,
    running,
    service,
    sheets,
    sign_in,
    sign_ins,
    signing,
    site_rules,
    steps,
    tablet,
    unlock,
    working,
)

# The fixed words of an address are tried before the places of a part.
ROUTERS: tuple[APIRouter, ...] = (
    health.router,
    sign_in.router,
    unlock.router,
    opening.router,
    machines.router,
    history.router,
    hours.router,
    due.router,
    service.router,
    hours_call.router,
    sheets.router,
    people.router,
    sign_ins.router,
    running.router,
    own_settings.router,
    site_rules.router,
    steps.router,
    signing.router,
    deciding.router,
    fittings.router,
    record.router,
    working.router,
    tablet.router,
    gauging.router,
)
