"""The benchmarks: `python -m tests.benchmarks`, or some by name; see DEVELOPERS.md."""

import argparse
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

from tests.benchmarks.browsing import browsing
from tests.benchmarks.documents import documents, judging, verifying
from tests.benchmarks.figures import Figure, as_json, machine, say, table
from tests.benchmarks.pages import pages
from tests.benchmarks.saving import saving, saving_beside_work
from tests.benchmarks.starting import starting

BENCHMARKS: dict[str, Callable[[], list[Figure]]] = {
    "saving": saving,
    "beside": saving_beside_work,
    "pages": pages,
    "starting": starting,
    "browsing": browsing,
    "documents": documents,
    "verifying": verifying,
    "judging": judging,
}


def main() -> int:
    """Measure, print the table, write it down; exit status 1 where a mark is missed."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description="Measure against floors.")
    parser.add_argument(
        "names", nargs="*", metavar="NAME", help=f"some of {', '.join(BENCHMARKS)}; all where none is named"
    )
    parser.add_argument(
        "--json", type=Path, default=Path("benchmarks.json"), help="the file that figures are written to"
    )
    parser.add_argument("--postgres", default="", help="an empty database to measure saving on too")
    asked = parser.parse_args()
    where, found = machine(), []
    for name in asked.names or BENCHMARKS:
        say(f"measuring {name}")
        figures = BENCHMARKS[name]()
        if asked.postgres and name in ("saving", "beside"):
            figures += partial(BENCHMARKS[name], asked.postgres)()
        print(*(" | ".join(each.row) for each in figures), sep="\n", flush=True)
        found += figures
    print(f"\n{where}\n\n{table(found)}")
    asked.json.write_text(as_json(found, where), encoding="utf-8")
    return 0 if all(each.is_met for each in found) else 1


if __name__ == "__main__":
    sys.exit(main())
