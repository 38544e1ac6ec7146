"""The cookies of the book: their names, and how they are kept; under TLS they never leave this very host, nor TLS."""

from fastapi import Request, Response

BOOK_COOKIE = "wearbook"  # the sign-in
TABLET_COOKIE = "wearbook_tablet"  # a tablet that somebody enrolled for a PIN
VISIT_COOKIE = "wearbook_visit"  # the browser, also before anybody signs in


def is_encrypted(request: Request) -> bool:
    """Whether a request came by TLS."""
    return bool(request.scope.get("scheme") == "https")


def cookie_name(request: Request, cookie: str) -> str:
    """Give a cookie's name; a browser takes one that begins with __Host- only over TLS, and only from this host."""
    return f"__Host-{cookie}" if is_encrypted(request) else cookie


def read_cookie(request: Request, cookie: str) -> str:
    """Read a cookie; the empty text where there is none."""
    return request.cookies.get(cookie_name(request, cookie), "")


def put_cookie(request: Request, response: Response, cookie: str, value: str, lasts_s: int) -> None:
    """Keep a cookie in the browser, out of reach of any script."""
    name, secure = cookie_name(request, cookie), is_encrypted(request)
    response.set_cookie(name, value, max_age=lasts_s, httponly=True, samesite="lax", secure=secure)


def drop_cookie(request: Request, response: Response, cookie: str) -> None:
    """Take a cookie away from the browser."""
    response.delete_cookie(cookie_name(request, cookie), httponly=True, samesite="lax", secure=is_encrypted(request))
