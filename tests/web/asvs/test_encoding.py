"""Chapters 1 and 4: what is sent in is data and nothing else; numbers from memory of ASVS 5.0.0."""

import ast
from functools import cache
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

import pytest

from app.actions.workbook_file import NoWorkbook, rows_of_workbook
from app.store.book import Book
from tests.house.source import ROOT
from tests.pictures import a_picture
from tests.web.visitor import Visitor, a_visitor
from tests.web.workshop import Workshop

# What asks an address of somebody else's, or runs another program in a shell.
OUTWARD = {"urllib.request", "http.client", "httpx", "httpx2", "requests", "ftplib", "smtplib", "xmlrpc", "telnetlib"}
RUN = {"os.system", "os.popen", "eval", "exec"}
TELLS_NUMBERS = ("/healthz", "/exports/schema.json")


@cache
def program() -> dict[str, ast.Module]:
    """Each module of the program, by file."""
    files = (ROOT / "app").rglob("*.py")
    return {file.relative_to(ROOT).as_posix(): ast.parse(file.read_text(encoding="utf-8")) for file in files}


def imported(tree: ast.Module) -> set[str]:
    """What a module imports."""
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{each.name}" for each in node.names)}
    return names


def run_by(tree: ast.Module) -> list[str]:
    """What a module runs by a shell or makes code of."""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    shells = [call for call in calls if any(word.arg == "shell" for word in call.keywords)]
    return [ast.unparse(call.func) for call in calls if call in shells or ast.unparse(call.func) in RUN]


def test_1_3_6_no_part_of_the_program_asks_an_address_that_somebody_sent() -> None:
    assert {file: names for file, tree in program().items() if (names := imported(tree) & OUTWARD)} == {}


def test_1_2_5_and_1_3_2_nothing_is_run_by_a_shell_or_made_code_of() -> None:
    assert {file: found for file, tree in program().items() if (found := run_by(tree))} == {}


def test_what_asks_outward_or_runs_a_shell_would_be_found() -> None:
    tree = ast.parse("from urllib import request\nimport httpx\nrun('ls', shell=True)\neval(x)\nprint(x)")

    assert imported(tree) & OUTWARD == {"urllib.request", "httpx"}
    assert run_by(tree) == ["run", "eval"]


ENTITY = '<!DOCTYPE x [<!ENTITY a "{}"><!ENTITY b SYSTEM "file:///etc/hostname">]>'


@pytest.mark.parametrize("entity", ["&a;", "&b;"])
def test_1_5_1_a_workbook_that_brings_entities_is_no_workbook(entity: str) -> None:
    from openpyxl import Workbook

    book, plain = Workbook(), BytesIO()
    book.active["A1"] = "REPLACED"
    book.save(plain)
    hostile = BytesIO()
    with ZipFile(plain) as source, ZipFile(hostile, "w", ZIP_DEFLATED) as target:
        for name in source.namelist():
            text = source.read(name)
            if b"REPLACED" in text:
                text = ENTITY.format("x" * 99).encode() + text.replace(b"REPLACED", entity.encode())
            target.writestr(name, text)

    try:
        rows = rows_of_workbook(hostile.getvalue(), 5)
    except NoWorkbook:
        rows = []

    assert not [cell for row in rows for cell in row if "xxx" in cell or len(cell) > len("&b;")]


def test_4_1_1_every_kind_of_answer_says_what_it_is_and_texts_in_which_letters(book: Book) -> None:
    client = a_visitor(book).client
    texts = ("/", "/exports/book.csv", "/exports/verify.py", "/worker.js")

    kinds = {path: client.get(path).headers["content-type"] for path in (*texts, *TELLS_NUMBERS)}

    assert all("charset=utf-8" in kinds[path] for path in texts)
    assert all(kinds[path].startswith("application/json") for path in TELLS_NUMBERS)


def test_5_2_2_picture_that_calls_itself_a_page_is_never_sent_as_a_page(book: Book) -> None:
    shop = Workshop(book).safe()
    url = shop.url("/photos")

    shop.fitter.get(shop.url("/photos/2.pin"))
    form = {"id": "a-tablet-made-it", "part": "2.pin"}
    shop.fitter.post(url, form, 303, files={"photo": ("a<b>.jpg", a_picture(), "text/html")})
    link = next(iter(shop.overhaul.photos)).digest

    answer = shop.auditor.client.get(f"/photos/{link}")
    assert answer.headers["content-type"] == "image/jpeg"
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_4_2_1_a_word_that_no_page_knows_as_a_method_is_refused_without_an_error(book: Book) -> None:
    visitor = Visitor(Workshop(book).app)

    assert [visitor.client.request(method, "/").status_code for method in ("PUT", "DELETE", "BREW")] == [405] * 3
