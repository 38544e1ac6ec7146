"""Documents as PDF, set in a process of their own: one that runs away or fails takes nothing with it."""

import json
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from threading import BoundedSemaphore

from app.domain.errors import WearbookError

ROOT = Path(__file__).resolve().parents[2]
LONGEST_S = 30
AT_ONCE = BoundedSemaphore(2)


class NotSet(WearbookError):
    """The document could not be set."""


def as_pdf(content: Mapping[str, object], longest_s: float = LONGEST_S) -> bytes:
    """Set a document from its content."""
    command = [sys.executable, "-m", "app.reports.pdf_worker"]
    given = json.dumps(content, ensure_ascii=False).encode(errors="surrogatepass")
    try:
        with AT_ONCE:
            told = subprocess.run(  # noqa: S603 - this very program, without any word from outside
                command, input=given, cwd=ROOT, capture_output=True, timeout=longest_s, check=False
            )
    except subprocess.TimeoutExpired:
        raise NotSet(f"The PDF was not ready within {longest_s:g} s. The page prints as well.") from None
    if told.returncode:
        raise NotSet(f"The PDF could not be made ({told.stderr.decode(errors='replace').strip()[-300:]}).")
    return told.stdout
