"""The project's own files as the house tests read them: which there are, and which functions stand in them."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = ("app", "templates", "static", "migrations", "tests", "sample_data", ".ci")
TOP_FILES = ("README.md", "DEVELOPERS.md", "pyproject.toml")
TEXTS = {".py", ".html", ".css", ".js", ".toml", ".md", ".txt", ".svg", ".csv", ".json", ""}

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Written:
    """A function as written: where it stands, under which name, and its tree."""

    path: Path
    name: str
    tree: Function

    @property
    def place(self) -> str:
        """Where to find it, as an editor understands it."""
        return f"{self.path.relative_to(ROOT)}:{self.tree.lineno} {self.name}"

    @property
    def body_lines(self) -> int:
        """How many lines its body has, without its docstring."""
        body = self.tree.body[1:] if ast.get_docstring(self.tree) is not None else self.tree.body
        return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def files(*patterns: str, below: str = "") -> list[Path]:
    """List the project's own files that match one of the patterns; what was vendored or made is left out."""
    folders = [ROOT / below] if below else [ROOT / folder for folder in FOLDERS]
    found = {path for folder in folders for pattern in patterns for path in folder.rglob(pattern) if path.is_file()}
    return sorted(path for path in found if not {"vendor", "__pycache__", ".mypy_cache"} & set(path.parts))


def texts() -> list[Path]:
    """List every file of the project that a person reads."""
    return [path for path in files("*") if path.suffix in TEXTS] + [ROOT / name for name in TOP_FILES]


@cache
def tree_of(path: Path) -> ast.Module:
    """Parse a module."""
    return ast.parse(path.read_text(encoding="utf-8"))


def functions(below: str) -> Iterator[Written]:
    """Give every function and method under a folder, the nested ones too."""
    for path in files("*.py", below=below):
        for node in ast.walk(tree_of(path)):
            if isinstance(node, Function):
                yield Written(path, node.name, node)


def imported(path: Path) -> Iterator[tuple[int, str]]:
    """Give every module that a file imports, with the line where it does."""
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        if isinstance(node, ast.ImportFrom):
            yield node.lineno, node.module or ""


def is_handler(function: Function) -> bool:
    """Whether a router's decorator stands over it."""
    return any(ast.unparse(decorator).split(".")[0] == "router" for decorator in function.decorator_list)
