"""Sets one document: JSON comes in, a PDF goes out. It runs in a process of its own, which ends with its memory."""

import json
import sys
from datetime import datetime
from pathlib import Path
from typing import Final

import typst

from app.reports.printable import FONTS, printable

TEMPLATE = Path(__file__).resolve().parents[2] / "templates" / "record" / "record.typ"
STANDARDS: Final = ("a-2b", "ua-1")


def set_document(content: dict[str, object]) -> bytes:
    """Set a document; its content reaches the template as data and never as part of its source."""
    return typst.compile(
        TEMPLATE,
        root=TEMPLATE.parent,
        sys_inputs={"record": json.dumps(printable(content), ensure_ascii=False)},
        font_paths=[FONTS],
        ignore_system_fonts=True,
        pdf_standards=list(STANDARDS),
        timestamp=int(datetime.fromisoformat(str(content["made_at"])).timestamp()),
        format="pdf",
    )


def main() -> int:
    """Read the content from the standard input, and write the document to the standard output."""
    try:
        document = set_document(json.load(sys.stdin.buffer))
    except typst.TypstError as refusal:
        print(refusal, file=sys.stderr)
        return 1
    sys.stdout.buffer.write(document)
    return 0


if __name__ == "__main__":
    sys.exit(main())
