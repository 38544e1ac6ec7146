"""A page as it can be opened without the program: no scripts, no forms, and links only to what is beside it."""

import re
from collections.abc import Callable
from html import escape
from html.parser import HTMLParser

# Whole elements that do nothing in a file; and what a browser takes in a void element, which has no end.
DROPPED = {"script", "form", "button", "template", "dialog"}
LINKS = {"href", "src"}
HREF = re.compile(r'\s(?:hx-[\w-]+|data-[\w-]+|action|method)="[^"]*"')


class StillPage(HTMLParser):
    """Writes a page again as it goes; `place` says where an address stands in the copy, or nothing when it does not."""

    def __init__(self, place: Callable[[str], str | None], note: str) -> None:
        super().__init__(convert_charrefs=False)
        self._place, self._note = place, note
        self._written: list[str] = []
        self._dropped: list[str] = []

    @property
    def text(self) -> str:
        """The page as written."""
        return "".join(self._written)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Write a tag with its addresses made local."""
        if tag in DROPPED or self._dropped:
            if tag in DROPPED:
                self._dropped.append(tag)
            return
        self._written.append(self._local(self.get_starttag_text() or "", attrs))
        if tag == "body":
            self._written.append(f'<p class="cell">{escape(self._note)}</p>')

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Write a tag that ends itself, as drawings have them."""
        if not self._dropped and tag not in DROPPED:
            self._written.append(self._local(self.get_starttag_text() or "", attrs))

    def handle_endtag(self, tag: str) -> None:
        """Write an end, or end what is dropped."""
        if self._dropped and tag == self._dropped[-1]:
            self._dropped.pop()
        elif not self._dropped:
            self._written.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        """Write words."""
        self._keep(data)

    def handle_entityref(self, name: str) -> None:
        """Write a named character."""
        self._keep(f"&{name};")

    def handle_charref(self, name: str) -> None:
        """Write a numbered character."""
        self._keep(f"&#{name};")

    def handle_decl(self, decl: str) -> None:
        """Write what kind of document it is."""
        self._keep(f"<!{decl}>")

    def _keep(self, text: str) -> None:
        """Write text that is not within what is dropped."""
        if not self._dropped:
            self._written.append(text)

    def _local(self, tag: str, attrs: list[tuple[str, str | None]]) -> str:
        """Put the place within the copy for each address, and take away those that lead nowhere."""
        for name, value in attrs:
            if name in LINKS and value and not value.startswith(("#", "data:")):
                place = self._place(value)
                local = "" if place is None else f' {name}="{escape(place)}"'
                tag = re.sub(rf'\s{name}="[^"]*"', lambda _: local, tag, count=1)  # noqa: B023  used at once
        return HREF.sub("", tag)
