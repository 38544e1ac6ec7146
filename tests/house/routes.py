"""The routes of the program as METHOD path; `python -m tests.house.routes` writes the agreed list anew."""

from collections.abc import Iterable

from fastapi.routing import iter_route_contexts
from starlette.routing import BaseRoute

from tests.house.source import ROOT

LIST = ROOT / "tests" / "house" / "routes.txt"


def routes() -> list[str]:
    """Write every route that a router of the program answers."""
    from app.web import ROUTERS

    return written(route for router in ROUTERS for route in router.routes)


def written(found: Iterable[BaseRoute]) -> list[str]:
    """Write routes in the order of their paths; a mounted folder has no methods and is none."""
    lines = [f"{m} {context.path}" for context in iter_route_contexts([*found]) for m in context.methods or ()]
    return sorted(lines, key=lambda line: line.split()[::-1])


if __name__ == "__main__":
    LIST.write_text("".join(f"{line}\n" for line in routes()), encoding="utf-8")
    print(f"{LIST.name} holds {len(routes())} routes.")
