"""The command that makes an offline bundle: the program and all that it needs, to be carried where no network is."""

import argparse
import shutil
import subprocess
import sys
import tomllib
from datetime import UTC, datetime
from pathlib import Path

from app.settings import Settings

ROOT = Path(__file__).resolve().parents[1]
PROGRAM = ("app", "templates", "static", "migrations", "sample_data", "README.md", "DEVELOPERS.md", "LICENSE")
INSTALLING = ROOT / "app" / "serving" / "install"
LEFT_OUT = shutil.ignore_patterns("__pycache__", "*.pyc")


def describe_bundling(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Describe the command."""
    bundle = commands.add_parser("bundle", help="make a bundle that installs where there is no network")
    bundle.add_argument("folder", type=Path, help="the folder to make it in; the bundle is one folder in it")
    bundle.add_argument(
        "--for", dest="platform", default="", help="another machine, such as manylinux_2_28_aarch64 or win_amd64"
    )
    bundle.add_argument("--python", default="", help="with --for: the version of Python there, such as 3.13")
    bundle.add_argument("--postgres", action="store_true", help="with the driver for PostgreSQL")


def make_bundle(settings: Settings, arguments: argparse.Namespace) -> int:
    """Put program, wheels and the scripts that install them into one folder; nothing is overwritten."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needed = [*project["dependencies"], *(project["optional-dependencies"]["postgres"] if arguments.postgres else ())]
    names = ["wearbook", project["version"], f"{datetime.now(UTC):%Y%m%d}", *filter(None, [arguments.platform])]
    bundle = arguments.folder / "-".join(names)
    if bundle.exists():
        print(f"{bundle} is there already. Move it away, or name another folder.", file=sys.stderr)
        return 1
    bundle.mkdir(parents=True)
    requirements = bundle / "requirements.txt"
    requirements.write_text("".join(f"{each}\n" for each in needed), encoding="utf-8")
    if not _fetch(requirements, bundle / "wheels", arguments.platform, arguments.python):
        shutil.rmtree(bundle)
        print("What the program needs could not be fetched; nothing was left behind.", file=sys.stderr)
        return 1
    _copy_program(bundle)
    size_mb = sum(path.stat().st_size for path in bundle.rglob("*")) / 1e6
    print(f"{bundle} is the bundle, {size_mb:.0f} MB. Carry it there whole, and run: sh {bundle.name}/install.sh")
    return 0


def _fetch(requirements: Path, wheels: Path, platform: str, python: str) -> bool:
    """Fetch all that is needed, for this machine or for another one."""
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--only-binary=:all:"]
    command += ["--dest", str(wheels), "--requirement", str(requirements)]
    command += ["--platform", platform] if platform else []
    command += ["--python-version", python] if platform and python else []
    return subprocess.run(command, check=False).returncode == 0  # noqa: S603 - pip, with what was typed here


def _copy_program(bundle: Path) -> None:
    """Copy the program, and put what installs and starts it on top."""
    for name in PROGRAM:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, bundle / name, ignore=LEFT_OUT)
        else:
            shutil.copy2(ROOT / name, bundle / name)
    shutil.copy2(ROOT / "pyproject.toml", bundle / "pyproject.toml")
    for path in INSTALLING.iterdir():
        shutil.copy2(path, bundle / path.name)
