"""Documents as PDF, set in a process of their own: one that runs away or fails takes nothing with it."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from threading import BoundedSemaphore

from app.domain.errors import WearbookError

ROOT = Path(__file__).resolve().parents[2]
LONGEST_S = 30
BEHIND, LAST = 10, 19  # in the steps by which systems tell who goes first
AT_ONCE = BoundedSemaphore(2)


class NotSet(WearbookError):
    """The document could not be set."""


@contextmanager
def setter(longest_s: float = LONGEST_S) -> Iterator[Callable[[Mapping[str, object]], bytes]]:
    """Begin a process that sets one document; it makes itself ready while the content is gathered."""
    command = [sys.executable, "-m", "app.reports.pdf_worker"]
    with (
        AT_ONCE,
        subprocess.Popen(  # noqa: S603 - this very program, without any word from outside
            command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
        ) as process,
    ):
        _stand_behind(process.pid)
        try:
            yield partial(_set, process, longest_s)
        finally:
            process.kill()  # nothing where it has ended


def _stand_behind(process: int) -> None:
    """Let whoever keeps a reading go first, on systems that know of first and last."""
    if hasattr(os, "setpriority"):
        with suppress(OSError):  # it may have ended already
            os.setpriority(os.PRIO_PROCESS, process, min(LAST, os.getpriority(os.PRIO_PROCESS, 0) + BEHIND))


def _set(process: "subprocess.Popen[bytes]", longest_s: float, content: Mapping[str, object]) -> bytes:
    """Give the process its content, and take the document."""
    given = json.dumps(content, ensure_ascii=False).encode(errors="surrogatepass")
    try:
        document, told = process.communicate(given, timeout=longest_s)
    except subprocess.TimeoutExpired:
        raise NotSet(f"The PDF was not ready within {longest_s:g} s. The page prints as well.") from None
    if process.returncode:
        raise NotSet(f"The PDF could not be made ({told.decode(errors='replace').strip()[-300:]}).")
    return document
