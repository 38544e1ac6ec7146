"""A small disk of its own for a test: a tmpfs, which only root may mount."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


def _run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(words, check=False, capture_output=True, text=True)


@contextmanager
def small_disk(folder: Path, size_kb: int) -> Iterator[Path]:
    """Mount a disk of so many kilobytes; where this machine does not let us, the test is skipped and says so."""
    folder.mkdir()
    mounted = _run("mount", "-t", "tmpfs", "-o", f"size={size_kb}k", "tmpfs", str(folder))
    if mounted.returncode:
        pytest.skip(f"no disk can be mounted here, so a full or read-only one was NOT tried: {mounted.stderr.strip()}")
    try:
        yield folder
    finally:
        assert _run("umount", "--lazy", str(folder)).returncode == 0


def make_read_only(folder: Path) -> None:
    """Mount the disk anew, to be read only."""
    told = _run("mount", "-o", "remount,ro", str(folder))
    assert told.returncode == 0, told.stderr


def fill(folder: Path) -> Path:
    """Fill what is left of the disk."""
    path = folder / "filler"
    with path.open("wb", buffering=0) as filler:
        try:
            while True:
                filler.write(b"\0" * 512)
        except OSError:
            return path
