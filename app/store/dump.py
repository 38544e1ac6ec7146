"""Copies of a book that stands in PostgreSQL, made and read by the server's own tools, pg_dump and pg_restore."""

import os
import shutil
import subprocess
import tempfile
from contextlib import suppress
from pathlib import Path

from sqlalchemy import URL

from app.store.backup import BackupFailed

MISSING = (
    "{tool} is not on this machine, so no copy of the book was made or read. Install the client tools of the "
    "server's version (on Debian: apt-get install postgresql-client), or let the server's keeper copy it."
)


def dump(url: URL, target: Path, head: tuple[int, str]) -> Path:
    """Copy one moment of the book into a file that does not exist yet, read it again, and give it."""
    if target.exists():
        raise BackupFailed(f"{target} is there already; a backup is never written over another file.")
    unfinished = target.with_name(f"{target.name}.part{os.getpid()}")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        _run("pg_dump", "--format=custom", "--no-owner", "--no-privileges", f"--file={unfinished}", url=url)
        verify_dump(unfinished, head)
        return unfinished.rename(target)
    except OSError as reason:
        raise BackupFailed(f"{target.parent}: {reason.strerror}") from reason
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)


def verify_dump(path: Path, head: tuple[int, str]) -> None:
    """Read all of a copy again; refuse one that is torn, or does not hold the chain up to an entry."""
    tool = _found("pg_restore")
    is_held = not head[0]
    begins, ends = f"{head[0]}\t".encode(), f"\t{head[1]}\n".encode()
    with tempfile.TemporaryFile() as told_file:
        words = [tool, "--file=-", str(path)]
        with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=told_file) as reading:  # noqa: S603 - one found
            for line in reading.stdout or ():
                is_held = is_held or (line.startswith(begins) and line.endswith(ends))
        told_file.seek(0)
        told = told_file.read().decode(errors="replace").strip()
    if reading.returncode:
        raise BackupFailed(f"{path} is not a whole copy: {told}.")
    if not is_held:
        raise BackupFailed(f"{path} does not hold entry {head[0]} of the book's chain.")


def _run(tool: str, *words: str, url: URL) -> None:
    """Run a tool on a database; the password goes by the environment, where no list of processes shows it."""
    environment = dict(os.environ)
    if url.password:
        environment["PGPASSWORD"] = str(url.password)
    address = url._replace(drivername="postgresql", password=None).render_as_string(hide_password=False)
    asked = [_found(tool), f"--dbname={address}", *words]
    done = subprocess.run(asked, env=environment, capture_output=True, text=True, check=False)  # noqa: S603 - one found
    if done.returncode:
        raise BackupFailed(f"{tool}: {done.stderr.strip()}")


def _found(tool: str) -> str:
    """Find a tool."""
    found = shutil.which(tool)
    if found is None:
        raise BackupFailed(MISSING.format(tool=tool))
    return found
