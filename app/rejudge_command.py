"""The commands for old paper: judge a table of readings without the book, and write the empty table to be filled."""

import argparse
import sys
import time
from datetime import datetime
from io import TextIOWrapper
from pathlib import Path
from typing import TextIO
from zoneinfo import ZoneInfo

from app.actions.reading_file import COLUMNS
from app.actions.rejudging import Tally, rejudge, sheet_from
from app.reports.reading_template import write_template
from app.reports.verdict_files import REFUSED_NAME, Format
from app.settings import Settings

SOME_REFUSED = 3  # exit status: everything was written, but lines of the table were refused
TERMINAL_PAUSE_S, LOG_PAUSE_S = 0.2, 5.0


def describe_rejudging(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Describe the two commands."""
    again = commands.add_parser("rejudge", help="judge a table of readings from old paper, without the book")
    again.add_argument("sheet", type=Path, help="the limit sheet's TOML file")
    again.add_argument("readings", type=Path, help="the table of readings, CSV")
    again.add_argument("--out", type=Path, required=True, metavar="FOLDER", help="folder for the verdicts")
    again.add_argument("--format", choices=("json", "csv", "both"), default="both", help="form of the verdicts")
    template = commands.add_parser("rejudge-template", help="write the empty table of readings of a limit sheet")
    template.add_argument("sheet", type=Path, help="the limit sheet's TOML file")


def rejudge_old_paper(settings: Settings, arguments: argparse.Namespace) -> int:
    """Judge a table of readings, and say on the way how far it is."""
    now, progress = datetime.now(ZoneInfo(settings.site_zone)), Progress(sys.stderr)
    sheet, form = sheet_from(arguments.sheet), Format(arguments.format)
    tally = rejudge(sheet, arguments.readings, arguments.out, form, now, progress.tell)
    progress.end(tally)
    if tally.refused_count or tally.superseded_count:
        print(f"Every refused or superseded line is listed in {arguments.out / REFUSED_NAME}.", file=sys.stderr)
    return SOME_REFUSED if tally.refused_count else 0


def write_reading_template(_settings: Settings, arguments: argparse.Namespace) -> int:
    """Write the empty table of readings of a limit sheet."""
    sheet = sheet_from(arguments.sheet)
    if isinstance(sys.stdout, TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")
    write_template(sheet, COLUMNS, sys.stdout)
    return 0


class Progress:
    """Tells how far a re-judging is: on a terminal in one line that changes, into a file in a line now and then."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream
        self.is_terminal = stream.isatty()
        self.pause_s = TERMINAL_PAUSE_S if self.is_terminal else LOG_PAUSE_S
        self.told_at_s = time.monotonic()

    def tell(self, tally: Tally) -> None:
        """Say how far it is, unless it was said just now."""
        if time.monotonic() - self.told_at_s >= self.pause_s:
            self._say(tally.words, "\r" if self.is_terminal else "\n")

    def end(self, tally: Tally) -> None:
        """Say where it ended."""
        self._say(tally.words, "\n")

    def _say(self, words: str, ending: str) -> None:
        """Say a line."""
        self.told_at_s = time.monotonic()
        print(words, end=ending, file=self.stream, flush=True)
