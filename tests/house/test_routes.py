"""No address vanishes unnoticed: every route stands in a list that a person has agreed to."""

from pathlib import Path

from app.settings import Settings
from tests.house.routes import LIST, routes, written


def test_every_route_stands_in_the_list_and_no_other() -> None:
    listed = LIST.read_text(encoding="utf-8").splitlines()

    assert routes() == listed, "Where a route was meant to come or go, write the list: python -m tests.house.routes"


def test_application_serves_every_router(tmp_path: Path) -> None:
    from app.application import create_app

    app = create_app(Settings(data_folder=tmp_path))
    served = written(app.routes)
    app.state.book.close()

    assert len(served) > 1
    assert served == routes()


def test_fragments_alone_have_addresses_that_begin_with_an_underscore() -> None:
    underscored = [route for route in routes() if route.split()[1].startswith("/_")]

    assert [route for route in underscored if not route.split()[1].startswith("/_fragments/")] == []
