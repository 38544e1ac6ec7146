"""Static files, kept by the browser for a year when their address carries their digest."""

from starlette import staticfiles
from starlette.responses import Response
from starlette.types import Scope

from app.web.page import STATIC


class StaticFiles(staticfiles.StaticFiles):
    """The files under static/, with long caching."""

    def __init__(self) -> None:
        super().__init__(directory=STATIC)

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Answer with the file; an address with a digest never changes its content."""
        response = await super().get_response(path, scope)
        is_named = bool(scope.get("query_string"))
        response.headers["cache-control"] = "public, max-age=31536000, immutable" if is_named else "no-cache"
        return response
