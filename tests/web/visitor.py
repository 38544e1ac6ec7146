"""A visitor who reads pages and sends forms as a browser does, and audits every page that comes."""

import re
from collections import Counter
from xml.etree.ElementTree import Element

from fastapi import FastAPI
from httpx2 import Response
from starlette.testclient import TestClient

from app.domain.people import Role
from app.store.book import Book
from tests.builders import PASSWORD, a_person, an_app
from tests.web.parsed import parsed

TYPED = ("input", "select", "textarea")
NEEDS_NO_LABEL = ("hidden", "submit", "button", "reset")


def a_visitor(book: Book, name: str = "M. Tarrow", role: Role = Role.FITTER) -> "Visitor":
    """Somebody new in the book, signed in."""
    a_person(book, name, role)
    return Visitor(an_app(book)).sign_in(name)


def a_chief(book: Book) -> "Visitor":
    """A chief engineer, signed in."""
    return a_visitor(book, "I. Brandreth", Role.CHIEF)


def an_auditor(book: Book) -> "Visitor":
    """An auditor, signed in."""
    return a_visitor(book, "S. Venn", Role.AUDITOR)


class Visitor:
    """One browser in front of the program; `page` is the text of the page seen last."""

    def __init__(self, app: FastAPI) -> None:
        self.client = TestClient(app, follow_redirects=False)
        self.page = ""

    def sign_in(self, name: str, password: str = PASSWORD) -> "Visitor":
        """Sign in, as whoever it is."""
        self.get("/sign-in")
        self.post("/sign-in", {"name": name, "password": password})
        return self

    def get(self, url: str, status: int = 200) -> Response:
        """Get a page and audit it."""
        return self._seen(self.client.get(url), status)

    def post(self, url: str, data: dict[str, object] | None = None, status: int = 303, **more: object) -> Response:
        """Send a form with the token of the page seen last; a refusal's page is audited too."""
        form = {"csrf": self.csrf, **(data or {})}
        return self._seen(self.client.post(url, data=form, **more), status)  # type: ignore[arg-type]

    def follow(self, answer: Response) -> Response:
        """Go where an answer sends the browser."""
        return self.get(answer.headers["location"])

    @property
    def csrf(self) -> str:
        """The token in the forms of the page seen last."""
        found = re.search(r'name="csrf" value="([^"]+)"', self.page)
        return found[1] if found else ""

    def _seen(self, answer: Response, status: int) -> Response:
        """Keep the page, after its status and its form have been checked."""
        said = f"{answer.request.url}: {answer.status_code}\n{words_of(answer.text)[:2000]}"
        assert answer.status_code == status, said
        if answer.headers.get("content-type", "").startswith("text/html") and answer.text:
            faults = audit(answer.text)
            assert not faults, f"{answer.request.url}: " + "; ".join(faults)
            self.page = answer.text
        return answer


def words_of(page: str) -> str:
    """The words of a page without its tags, each run of spaces as one."""
    within = re.sub(r"</?time\b[^>]*>", "", page)  # what a moment is written in stands within its sentence
    without = re.sub(r"<(svg|script|style)\b.*?</\1>|<[^>]+>", " ", within, flags=re.DOTALL)
    return " ".join(without.replace("&nbsp;", " ").split())


def audit(page: str) -> list[str]:
    """Name everything that is wrong with a page's form."""
    root, found = parsed(page)
    faults = list(found)
    is_whole = page.lstrip().lower().startswith("<!doctype")
    checks = (_heading, _policy, _ids, _labels, _forms) if is_whole else (_policy, _ids, _labels, _forms)
    if not is_whole:
        faults = [fault for fault in faults if "doctype" not in fault]
    return faults + [fault for check in checks for fault in check(root)]


def _heading(root: Element) -> list[str]:
    """Ask for one heading, and a title that contains it."""
    headings = [_text(heading) for heading in root.iter("h1")]
    title = _text(next(root.iter("title"), Element("title")))
    if len(headings) != 1:
        return [f"{len(headings)} h1"]
    return [] if headings[0] and headings[0] in title else [f"title “{title}” without h1 “{headings[0]}”"]


def _policy(root: Element) -> list[str]:
    """Find what the content security policy would stop."""
    faults = ["inline style element" for _ in root.iter("style")]
    faults += ["inline script" for script in root.iter("script") if not script.get("src")]
    for element in root.iter():
        faults += [f"attribute {name}" for name in element.attrib if str(name) == "style" or str(name)[:2] == "on"]
    return faults


def _ids(root: Element) -> list[str]:
    """Ask that each id stands once, and that whatever is pointed at is there."""
    ids = Counter(element.get("id") for element in root.iter() if element.get("id"))
    pointers = ("for", "aria-describedby", "aria-labelledby")
    pointed = {each for element in root.iter() for name in pointers for each in (element.get(name) or "").split()}
    pointed |= {href[1:] for link in root.iter("a") if (href := link.get("href") or "").startswith("#")}
    faults = [f"id {name} stands {number} times" for name, number in ids.items() if number > 1]
    return faults + [f"{each} is pointed at and not there" for each in sorted(pointed - set(ids))]


def _labels(root: Element) -> list[str]:
    """Ask a label for everything that is typed or chosen."""
    named = {label.get("for") for label in root.iter("label")}
    inside = {id(child) for label in root.iter("label") for child in label.iter()}
    typed = [e for e in root.iter() if e.tag in TYPED and e.get("type") not in NEEDS_NO_LABEL]
    bare = [e for e in typed if e.get("id") not in named and id(e) not in inside and not e.get("aria-label")]
    return [f"{element.tag} {element.get('name')} has no label" for element in bare]


def _forms(root: Element) -> list[str]:
    """Ask every form for method and action, and a posted one for the token."""
    faults = []
    for form in root.iter("form"):
        names = {element.get("name") for element in form.iter("input")}
        if not form.get("method") or not form.get("action"):
            faults.append(f"form {form.get('action')} without method or action")
        if (form.get("method") or "").lower() == "post" and "csrf" not in names:
            faults.append(f"form {form.get('action')} without its token")
    return faults


def _text(element: Element) -> str:
    """The words of an element, each run of spaces as one."""
    return " ".join("".join(element.itertext()).split())
