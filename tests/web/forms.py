"""Forms of a page as a person meets them: what they would send, what is typed in them, what is said beside a field."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from tests.web.parsed import parsed

BOXES = ("checkbox", "radio")
NEVER_SENT = ("submit", "button", "reset")


def form_of(page: str, action: str, holding: str = "") -> dict[str, object]:
    """Give what the form of this action sends as it stands; `holding` picks the one with this hidden value."""
    forms = [form for form in _root(page).iter("form") if form.get("action") == action]
    found = [form for form in forms if not holding or holding in [e.get("value") for e in form.iter("input")]]
    assert found, f"no form for {action} {holding}"
    sent: dict[str, object] = {}
    for name, value in _sent(found[0]):
        if name in sent:
            before = sent[name]
            sent[name] = [*(before if isinstance(before, list) else [before]), value]
        else:
            sent[name] = value
    return sent


def has_form(page: str, action: str) -> bool:
    """Whether a page has a form of this action."""
    return any(form.get("action") == action for form in _root(page).iter("form"))


def said_beside(page: str, name: str) -> str:
    """Give the words of refusal that stand in the block of a field, nothing where there are none."""
    blocks = [e for e in _root(page).iter() if {"field", "read"} & set((e.get("class") or "").split())]
    mine = [block for block in blocks if any(e.get("name") == name for e in block.iter())]
    errors = [e for block in mine[-1:] for e in block.iter("p") if e.get("class") == "error"]
    return " ".join(words(error) for error in errors)


def typed_in(page: str, name: str) -> str:
    """Give what stands in a field."""
    field = next(e for e in _root(page).iter() if e.get("name") == name and e.tag in ("input", "textarea"))
    return words(field) if field.tag == "textarea" else field.get("value") or ""


def ticked(page: str, name: str) -> list[str]:
    """Give the values that are ticked under a name."""
    return [e.get("value") or "" for e in _root(page).iter("input") if e.get("name") == name and "checked" in e.attrib]


def words_in(page: str, element_id: str) -> str:
    """Give the words of the element with this id, nothing where there is none."""
    return next((words(e) for e in _root(page).iter() if e.get("id") == element_id), "")


def words(element: Element) -> str:
    """Give the words of an element, each run of spaces as one."""
    return " ".join(" ".join(element.itertext()).split())


def _sent(form: Element) -> Iterator[tuple[str, str]]:
    """Walk through what a browser would send of a form, without the button that is pressed."""
    for element in form.iter():
        name, kind = element.get("name") or "", element.get("type") or ""
        if not name or kind in NEVER_SENT or (kind in BOXES and "checked" not in element.attrib):
            continue
        if element.tag == "input":
            yield name, element.get("value") or ""
        elif element.tag == "textarea":
            yield name, "".join(element.itertext())
        elif element.tag == "select":
            yield name, _chosen(element)


def _chosen(select: Element) -> str:
    """Give what is chosen of a list: the one marked, else the first."""
    options = list(select.iter("option"))
    marked = [option for option in options if "selected" in option.attrib] or options[:1]
    return next((option.get("value", words(option)) for option in marked), "")


def _root(page: str) -> Element:
    """Give the root of a page."""
    return parsed(page)[0]
