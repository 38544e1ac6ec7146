"""Every setting: its name, its default and one sentence of help; an environment variable overrides each."""

import os
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path


class SettingRefused(Exception):
    """A setting's value cannot be used; the text names the variable and what is allowed."""


def _setting(default: object, help_text: str) -> object:
    """Declare a setting with its sentence of help."""
    return field(default=default, metadata={"help": help_text})


@dataclass(frozen=True)
class Settings:
    """The settings of one running book."""

    data_folder: Path = _setting(Path("data"), "Folder that holds the book and its backups.")  # type: ignore[assignment]
    database_url: str = _setting("", "Address of a PostgreSQL database that holds the book; empty is a file.")  # type: ignore[assignment]
    backup_folder: Path = _setting(  # type: ignore[assignment]
        Path("backups"), "Folder for backups, within the data folder unless it begins with /; best another disk."
    )
    site_key: Path = _setting(  # type: ignore[assignment]
        Path("site.key"), "File of the site's key, within the data folder unless it begins with /; it signs the seals."
    )
    backup_hours: int = _setting(24, "Hours from one backup to the next while serving; 0 takes none by itself.")  # type: ignore[assignment]
    backup_days: int = _setting(30, "Days for which every backup is kept, counted back from the newest.")  # type: ignore[assignment]
    backup_months: int = _setting(120, "Months for which the newest backup of each is kept.")  # type: ignore[assignment]
    overdue_instruments: str = _setting("mark", "What is done with readings of overdue instruments: mark or refuse.")  # type: ignore[assignment]
    host: str = _setting("127.0.0.1", "Address to listen on; 0.0.0.0 lets tablets on the network in.")  # type: ignore[assignment]
    port: int = _setting(8000, "Port to listen on.")  # type: ignore[assignment]
    processes: int = _setting(
        1, "Server processes behind the port; more than one only where the book is in PostgreSQL."
    )  # type: ignore[assignment]
    way_in_port: int = _setting(8080, "With TLS: port of the plain page that leads tablets to the encrypted ones.")  # type: ignore[assignment]
    names: str = _setting("", "With TLS: further names or addresses of this server, with commas between.")  # type: ignore[assignment]
    idle_minutes: int = _setting(20, "Idle minutes after which the password or PIN is asked for again; 0 never asks.")  # type: ignore[assignment]
    session_hours: int = _setting(14, "Hours without use after which a sign-in ends.")  # type: ignore[assignment]
    session_days: int = _setting(7, "Days after which a sign-in ends, however much it is used.")  # type: ignore[assignment]
    site_zone: str = _setting("UTC", "Time zone of the site, such as Europe/London; days and times go by it.")  # type: ignore[assignment]
    safe_again_hours: int = _setting(12, "Hours of standstill after which it is confirmed safe again; 0 never asks.")  # type: ignore[assignment]
    is_demonstration: bool = _setting(False, "Shows the invented people and passwords on the sign-in page.")  # type: ignore[assignment]

    @property
    def book_path(self) -> Path:
        """The file of the book; the demonstration has its own and never mixes with a real one."""
        return self.data_folder / ("demonstration.db" if self.is_demonstration else "wearbook.db")

    @property
    def key_path(self) -> Path:
        """The file of the site's key; the demonstration has its own."""
        own = Path("demonstration.key") if self.is_demonstration and not self.site_key.is_absolute() else self.site_key
        return self.data_folder / own

    @property
    def heads_path(self) -> Path:
        """The file of the signed heads of the chain, beside the backups."""
        return self.data_folder / self.backup_folder / f"{self.book_path.stem}-heads.txt"

    @property
    def book_address(self) -> str:
        """The address of the book's database, empty where the book is a file; the demonstration always is one."""
        return "" if self.is_demonstration else self.database_url


def variable(name: str) -> str:
    """Name the environment variable of a setting.

    >>> variable("port")
    'WEARBOOK_PORT'
    """
    return f"WEARBOOK_{name.upper()}"


def read_settings(environment: Mapping[str, str] | None = None) -> Settings:
    """Read the settings from the environment; SettingRefused when a value cannot be used."""
    given = os.environ if environment is None else environment
    found = {f.name: _read(f.name, given[variable(f.name)]) for f in fields(Settings) if variable(f.name) in given}
    return Settings(**found)  # type: ignore[arg-type]


def _read(name: str, text: str) -> object:
    """Read one value in the kind that its setting has."""
    default = getattr(Settings, name)
    if isinstance(default, bool):
        return text.lower() in ("1", "yes", "true", "on")
    if isinstance(default, int):
        if not text.isdecimal():
            raise SettingRefused(f"{variable(name)} is {text!r}; a whole number is expected.")
        return int(text)
    return Path(text) if isinstance(default, Path) else text
