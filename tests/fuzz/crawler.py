"""Walks from page to page as one person does, and gathers every form that is met."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urldefrag

from tests.fuzz.ground import Ground
from tests.web.visitor import Visitor

NOT_PAGES = (".pdf", ".zip", ".json", ".csv", ".xlsx", ".py", ".ics", ".svg", ".crt", "/file", ".js", ".css", ".png")
BUTTONS = ("submit", "button", "reset", "image")


@dataclass
class Form:
    """A form as it stands in a page: where it is sent, and its fields with what is in them."""

    action: str
    method: str
    fields: dict[str, str] = field(default_factory=dict)
    files: list[str] = field(default_factory=list)

    def __hash__(self) -> int:
        return hash((self.action, tuple(sorted(self.fields))))


class _Page(HTMLParser):
    """The links and forms of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.forms: list[Form] = []
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take what leads on, and what is filled in."""
        told = {name: value or "" for name, value in attrs}
        if tag == "a" and "href" in told:
            self.links.append(urldefrag(told["href"])[0])
        elif tag == "form":
            self.forms.append(Form(told.get("action", ""), told.get("method", "get").lower()))
        elif self.forms and told.get("name"):
            self._take(tag, told)
        elif tag == "option" and self.forms and self._select:
            self._choose(told)

    def handle_endtag(self, tag: str) -> None:
        """Leave a list of choices."""
        if tag == "select":
            self._select = ""

    def _take(self, tag: str, told: dict[str, str]) -> None:
        """Take one field; of boxes that stand for one question, the one that is ticked."""
        name, form = told["name"], self.forms[-1]
        if told.get("type") == "file":
            form.files.append(name)
        elif tag == "select":
            self._select = name
            form.fields[name] = ""
        elif tag in ("input", "textarea", "button") and (told.get("type") not in BUTTONS or tag == "button"):
            is_box = told.get("type") in ("checkbox", "radio")
            if not is_box or "checked" in told or name not in form.fields:
                form.fields[name] = told.get("value", "")

    def _choose(self, told: dict[str, str]) -> None:
        """Take what is chosen of a list, else its first that says something."""
        fields = self.forms[-1].fields
        if "selected" in told or not fields[self._select]:
            fields[self._select] = told.get("value", "")


def read(page: str) -> tuple[list[str], list[Form]]:
    """Give the links and forms of a page."""
    parser = _Page()
    parser.feed(page)
    return parser.links, parser.forms


def crawl(ground: Ground, visitor: Visitor, most: int) -> Iterator[tuple[str, Form]]:
    """Give each form that is met with the route it is sent to; at most so many pages of each route are opened.

    The pages that the ground names are opened first and in any case.
    """
    waiting, opened, met = ["/", *ground.pages], Counter[str](), set()
    seen, always = set(waiting), set(waiting)
    while waiting:
        url = waiting.pop(0)
        route = ground.route_of("GET", url)
        if not route or (opened[route] >= most and url not in always):
            continue
        opened[route] += 1
        answer = visitor.client.get(url, follow_redirects=True)
        assert answer.status_code < 500, url
        links, forms = read(answer.text)
        for link in links:
            if link.startswith("/") and link not in seen and not link.split("?")[0].endswith(NOT_PAGES):
                seen.add(link)
                waiting.append(link)
        for form in forms:
            sent_to = ground.route_of(form.method.upper(), form.action)
            key = (sent_to, tuple(sorted(form.fields)))
            if sent_to and key not in met:
                met.add(key)
                yield sent_to, form
