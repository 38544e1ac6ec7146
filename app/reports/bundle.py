"""A bundle: a zip of everything an auditor needs, with the digest of each file and a verifier that needs no server."""

import hashlib
import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import IO, cast
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

MANIFEST, SIGNATURE, VERIFIER = "manifest.json", "manifest.sig", "verify.py"
OF_PROGRAM = re.compile(r"^from app\.reports\.(\w+) import .+\n", re.MULTILINE)
MANIFEST_FORMAT = "wearbook-manifest"
README = """\
{title}

export.json    everything, as rows: read it with any program; schema.json describes it
readings.csv   every reading, for a spreadsheet
records/       each record of an overhaul as a PDF
photos/        every photo, named by the SHA-256 digest over its bytes, which stands in its row
manifest.json  the SHA-256 digest of every file
verify.py      checks all of this without the server: python3 verify.py

manifest.sig   the signature of the site's key over the manifest, where the site has a key

The verifier needs Python 3.11 or later and nothing else; it checks the Ed25519 signatures by itself. Ask for your own
copy of it if you do not trust the one in here: the program gives it at /exports/verify.py. The digest of the chain's
last entry and the fingerprint of the site's key, written down elsewhere on the day of the export, prove that the whole
was not written anew since:

{head}
"""


class Bundle:
    """A zip being written: files are added one after another, and what is ready is handed on at once."""

    def __init__(self, at: datetime) -> None:
        self._pieces: list[bytes] = []
        self._zip = ZipFile(cast("IO[bytes]", _Sink(self._pieces)), "w", ZIP_DEFLATED)
        self._at = at.timetuple()[:6]
        self._files: list[dict[str, object]] = []

    def add(self, name: str, content: Iterable[bytes]) -> Iterator[bytes]:
        """Add a file, and give what of the zip is ready meanwhile."""
        digest, size = hashlib.sha256(), 0
        entry = ZipInfo(name, self._at)
        entry.compress_type = ZIP_DEFLATED
        with self._zip.open(entry, "w", force_zip64=True) as file:
            for piece in content:
                digest.update(piece)
                size += len(piece)
                file.write(piece)
                yield from self._ready()
        self._files.append({"path": name, "sha256": digest.hexdigest(), "bytes": size})
        yield from self._ready()

    def close(self, about: Mapping[str, object], sign: Callable[[bytes], dict[str, str]] | None) -> Iterator[bytes]:
        """Add the manifest of all files, its signature where there is a key, and give what is left."""
        content = {"format": MANIFEST_FORMAT, "version": 1, **about, "files": list(self._files)}
        manifest = json.dumps(content, ensure_ascii=False, indent=1).encode()
        yield from self.add(MANIFEST, [manifest])
        if sign is not None:
            yield from self.add(SIGNATURE, [json.dumps(sign(manifest), indent=1).encode()])
        self._zip.close()
        yield from self._ready()

    def _ready(self) -> Iterator[bytes]:
        """Hand on what was written since."""
        pieces, self._pieces[:] = list(self._pieces), []
        return iter(pieces)


class _Sink:
    """Something to write into that cannot be gone back in, as a network cannot."""

    def __init__(self, pieces: list[bytes]) -> None:
        self._pieces = pieces

    def write(self, piece: bytes) -> int:
        """Take a piece."""
        self._pieces.append(bytes(piece))
        return len(piece)

    def flush(self) -> None:
        """Everything is handed on as it comes."""


def verifier_source() -> bytes:
    """The verifier as the one file that goes into a bundle: what it imports of the program stands in it."""
    return _whole("verifier").encode()


def _whole(module: str) -> str:
    """Put the modules that a module imports of these in the place of their imports, each once."""
    source = Path(__file__).with_name(f"{module}.py").read_text(encoding="utf-8")
    seen: set[str] = set()

    def put_in(line: re.Match[str]) -> str:
        """Give a module the first time it is asked for."""
        if line[1] in seen:
            return ""
        seen.add(line[1])
        return OF_PROGRAM.sub(put_in, Path(__file__).with_name(f"{line[1]}.py").read_text(encoding="utf-8"))

    return OF_PROGRAM.sub(put_in, source)
