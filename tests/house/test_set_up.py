"""Both command lines of README install once, in either order, and take up again what was interrupted."""

import os
import subprocess
from pathlib import Path

import pytest

from tests.house.readme import blocks, clean_environment

# Stands in for Debian's python3: it makes an environment whose pip and python only write down what they were asked.
PYTHON3 = """#!/bin/sh
mkdir -p .venv/bin
for tool in pip python; do
    printf '#!/bin/sh\\necho "%s $*" >> asked\\n[ ! -e broken ] || [ %s != pip ]\\n' $tool $tool > .venv/bin/$tool
    chmod +x .venv/bin/$tool
done
"""
DEMONSTRATION, TESTS = "python -m app demo", "python -m pytest -n 2 --cov --cov-report="
INSTALL, INSTALL_TESTS = "pip install --quiet --editable .", "pip install --quiet --editable .[test]"


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A fresh checkout, with a python3 that installs nothing."""
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "python3").write_text(PYTHON3)
    (tmp_path / "bin" / "python3").chmod(0o755)
    (tmp_path / "pyproject.toml").touch()
    os.utime(tmp_path / "pyproject.toml", (1_000_000, 1_000_000))
    return tmp_path


def run(checkout: Path, block: int) -> list[str]:
    """Run one of README's lines and give what pip and python were asked."""
    environment = clean_environment(PATH=f"{checkout / 'bin'}:{os.environ['PATH']}")
    subprocess.run(["/bin/sh", "-c", blocks()[block][1]], cwd=checkout, env=environment, check=False, timeout=60)
    asked = checkout / "asked"
    lines = asked.read_text().splitlines()
    asked.unlink()
    return lines


def test_demonstration_is_installed_once(checkout: Path) -> None:
    first, second = run(checkout, 0), run(checkout, 0)

    assert first == [INSTALL, DEMONSTRATION]
    assert second == [DEMONSTRATION]


def test_tests_are_installed_once_after_the_demonstration(checkout: Path) -> None:
    run(checkout, 0)

    first, second, demonstration = run(checkout, 1), run(checkout, 1), run(checkout, 0)

    assert first == [INSTALL_TESTS, TESTS]
    assert second == [TESTS]
    assert demonstration == [DEMONSTRATION]


def test_demonstration_needs_no_install_after_the_tests(checkout: Path) -> None:
    run(checkout, 1)

    assert run(checkout, 0) == [DEMONSTRATION]


@pytest.mark.parametrize(("block", "install", "command"), [(0, INSTALL, DEMONSTRATION), (1, INSTALL_TESTS, TESTS)])
def test_interrupted_install_is_taken_up_again(checkout: Path, block: int, install: str, command: str) -> None:
    (checkout / "broken").touch()
    interrupted = run(checkout, block)
    (checkout / "broken").unlink()

    again = run(checkout, block)

    assert interrupted == [install]
    assert again == [install, command]


def test_changed_dependencies_are_installed(checkout: Path) -> None:
    run(checkout, 1)
    os.utime(checkout / "pyproject.toml", (4_000_000_000, 4_000_000_000))

    assert run(checkout, 1) == [INSTALL_TESTS, TESTS]
