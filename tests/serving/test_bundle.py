"""Tests of the bundle for a place without a network: what is in it, how it installs, how an update is undone."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from app.__main__ import main
from tests.house.readme import answer, clean_environment, free_port, started
from tests.house.source import ROOT

# Stands in for Debian's python3, and for pip: they only write down what they were asked.
ASKED = """#!/bin/sh
echo "$@" >> "{asked}"
mkdir -p "$3/bin"
printf '#!/bin/sh\\necho "$@" >> "{asked}"\\n' | tee "$3/bin/pip" > "$3/bin/python"
chmod +x "$3/bin/pip" "$3/bin/python"
"""


@pytest.fixture
def bundle(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A bundle whose wheels were asked for and not fetched."""
    asked: list[list[str]] = []

    def run(command: list[str], check: bool) -> subprocess.CompletedProcess[str]:
        asked.append(command)
        return subprocess.CompletedProcess(command, 0)

    with monkeypatch.context() as patched:
        patched.setattr("app.bundle_command.subprocess.run", run)
        assert main(["bundle", str(tmp_path / "stick"), "--for", "manylinux_2_28_aarch64", "--python", "3.13"]) == 0
    assert asked[0][1:4] == ["-m", "pip", "download"]
    assert asked[0][-4:] == ["--platform", "manylinux_2_28_aarch64", "--python-version", "3.13"]
    (found,) = (tmp_path / "stick").iterdir()
    return found


def test_bundle_holds_the_program_what_it_needs_and_what_installs_it(bundle: Path) -> None:
    there = {path.name for path in bundle.iterdir()}

    needed = (bundle / "requirements.txt").read_text().splitlines()
    assert {"app", "templates", "static", "migrations", "install.sh", "start.bat", "wearbook.service"} <= there
    assert any(line.startswith("fastapi ~=") for line in needed)
    assert not any("pytest" in line or "psycopg" in line for line in needed)
    assert list(bundle.rglob("__pycache__")) == []


def test_bundle_is_never_written_over_another(bundle: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = main(["bundle", str(bundle.parent), "--for", "manylinux_2_28_aarch64"])

    assert status == 1
    assert "is there already" in capsys.readouterr().err


def test_wheels_that_cannot_be_fetched_leave_no_half_bundle(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    failed = subprocess.CompletedProcess[str]([], 1)
    monkeypatch.setattr("app.bundle_command.subprocess.run", lambda *_, **__: failed)

    assert main(["bundle", str(tmp_path)]) == 1

    assert list(tmp_path.iterdir()) == []


def test_second_version_goes_beside_the_first_which_stays_to_go_back_to(bundle: Path, tmp_path: Path) -> None:
    newer = Path(shutil.copytree(bundle, bundle.with_name("wearbook-0.2.0")))

    asked = [install(each, tmp_path) for each in (bundle, newer, newer)]

    into = tmp_path / "opt"
    wanted = f"install --quiet --no-index --find-links {into / bundle.name / 'wheels'}"
    assert asked[0][1].startswith(wanted)
    assert asked[0][2] == f"-m compileall -q {into / bundle.name / 'app'}"
    assert (into / "current").resolve().name == "wearbook-0.2.0"
    assert (into / "previous").resolve().name == bundle.name
    assert (into / "previous" / "app" / "__main__.py").is_file()


@pytest.mark.long
def test_bundle_installs_without_a_network_and_serves(tmp_path: Path) -> None:
    made = subprocess.run([sys.executable, "-m", "app", "bundle", str(tmp_path / "stick")], cwd=ROOT, check=False)
    (found,) = (tmp_path / "stick").iterdir()
    environment = clean_environment(PIP_CONFIG_FILE=os.devnull, PIP_NO_INDEX="1")
    environment.pop("PIP_FIND_LINKS", None)
    installed = subprocess.run(["/bin/sh", found / "install.sh", tmp_path / "opt"], env=environment, check=False)

    port = free_port()
    serving = clean_environment(WEARBOOK_PORT=str(port), WEARBOOK_DATA_FOLDER=str(tmp_path / "data"))
    with started(".venv/bin/python -m app serve", tmp_path / "opt" / "current", serving) as process:
        status = answer(f"http://127.0.0.1:{port}/healthz", process)

    assert (made.returncode, installed.returncode, status) == (0, 0, 200)


def install(bundle: Path, folder: Path) -> list[str]:
    """Install a bundle by its script, with stand-ins, and give what they were asked."""
    asked, tools = folder / "asked", folder / "tools"
    tools.mkdir(exist_ok=True)
    (tools / "python3").write_text(ASKED.format(asked=asked))
    (tools / "python3").chmod(0o755)
    environment = clean_environment(PATH=f"{tools}:{os.environ['PATH']}")
    subprocess.run(["/bin/sh", bundle / "install.sh", folder / "opt"], env=environment, check=True, capture_output=True)
    lines = asked.read_text().splitlines()
    asked.unlink()
    return lines
