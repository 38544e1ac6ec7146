"""Tests of the verifier that goes into a bundle: whatever is changed in a bundle is found and named."""

import hashlib
import json
import random
import subprocess
import sys
import zipfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from app.actions.export_files import Circumstances, Form, export_file
from app.actions.exports import Wanted
from app.domain.overhaul import Meaning
from app.domain.site_rules import RuleKind
from app.reports.site_seals import site_faults
from app.reports.verifier import MANIFEST, SIGNATURE, export_faults, faults_of, main
from app.settings import Settings
from app.store.heads_file import sign_head
from app.store.site_rules import save_site_rule
from tests.builders import a_book, sign_all
from tests.pictures import a_picture
from tests.web.test_photos import send
from tests.web.workshop import OPENED_AT, RETURNED, Workshop

ROWS = ("overhauls", "machines", "sheets", "site_rule", "site_key", "signed_heads", "entries")
AROUND = Circumstances("S. Venn", datetime(2031, 4, 5, tzinfo=UTC), "UTC", False)


@pytest.fixture(scope="module")
def zipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bundle of a whole book with one closed overhaul in it."""
    folder = tmp_path_factory.mktemp("bundle")
    book = a_book(folder)
    shop = Workshop(book).all_gauged()
    send(shop, a_picture("JPEG"), note="Worn at its end")
    sign_all(book, shop.id, OPENED_AT, (Meaning.GAUGED, Meaning.DECIDED))
    sign_all(book, shop.closed_and_proved().id, OPENED_AT, RETURNED)
    with book.writing("I. Brandreth", AROUND.now) as writing:
        save_site_rule(writing, next(iter(RuleKind)), "Two fitters.", True)
    sign_head(book, AROUND.now, Settings(data_folder=folder).heads_path)
    path = folder / "book.zip"
    path.write_bytes(b"".join(export_file(book, Wanted(), Form.BUNDLE, AROUND).content))
    book.close()
    return path


@pytest.fixture
def folder(zipped: Path, tmp_path: Path) -> Path:
    """The same bundle, unpacked."""
    with zipfile.ZipFile(zipped) as packed:
        packed.extractall(tmp_path / "unpacked")
    return tmp_path / "unpacked"


@pytest.fixture
def export(folder: Path) -> dict[str, Any]:
    """What stands in its JSON."""
    content: dict[str, Any] = json.loads((folder / "export.json").read_text(encoding="utf-8"))
    return content


def test_bundle_as_exported_verifies_alone_without_the_program(folder: Path) -> None:
    command = [sys.executable, "-I", "-S", str(folder / "verify.py")]

    told = subprocess.run(command, cwd=folder, check=False, capture_output=True, text=True, timeout=60)

    assert (told.returncode, told.stderr) == (0, "")
    assert told.stdout.startswith("Nothing was changed. The chain ended at entry ")


def test_zipped_and_unpacked_bundle_verify_alike(zipped: Path, folder: Path) -> None:
    assert [faults_of(zipped), faults_of(folder)] == [[], []]


def test_every_changed_byte_in_samples_of_every_file_is_found_and_its_file_named(folder: Path) -> None:
    chance = random.Random(6)
    for path in sorted(each for each in folder.rglob("*") if each.is_file()):
        whole = path.read_bytes()
        for place in sorted(chance.sample(range(len(whole)), min(25, len(whole)))):
            changed = bytes([whole[place] ^ (1 << chance.randrange(8))])
            path.write_bytes(whole[:place] + changed + whole[place + 1 :])

            found = faults_of(folder)

            name = path.relative_to(folder).as_posix()
            assert found, f"byte {place} of {name} was changed unseen"
            assert name == MANIFEST or any(name in fault for fault in found)
        path.write_bytes(whole)


def test_photo_that_is_not_of_its_row_is_named_even_where_the_manifest_was_written_anew(folder: Path) -> None:
    (photo,) = (folder / "photos").iterdir()
    photo.write_bytes(photo.read_bytes() + b" ")
    manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    listed = next(file for file in manifest["files"] if file["path"].startswith("photos/"))
    listed |= {"sha256": hashlib.sha256(photo.read_bytes()).hexdigest(), "bytes": photo.stat().st_size}
    (folder / MANIFEST).write_text(json.dumps(manifest, ensure_ascii=False, indent=1), encoding="utf-8")

    assert [f for f in faults_of(folder) if "site" not in f] == [
        f"photos/{photo.name} is missing, or is not the picture of its row."
    ]


def test_missing_and_added_files_are_named(folder: Path) -> None:
    (folder / "readings.csv").rename(folder / "other.csv")

    assert sorted(faults_of(folder)) == [
        "other.csv was added: the manifest does not list it.",
        "readings.csv is missing.",
    ]


def leaves(content: object, path: tuple[object, ...] = ()) -> Iterator[tuple[object, ...]]:
    """The way to every single value."""
    pairs = content.items() if isinstance(content, dict) else enumerate(content) if isinstance(content, list) else ()
    below = [leaf for name, each in pairs for leaf in leaves(each, (*path, name))]
    yield from below if isinstance(content, (dict, list)) else [path]


def some_of_each_column(paths: Iterator[tuple[object, ...]]) -> list[tuple[object, ...]]:
    """A few values of every column of every table."""
    columns: dict[tuple[object, ...], list[tuple[object, ...]]] = {}
    for path in paths:
        columns.setdefault(tuple(step for step in path if not isinstance(step, int)), []).append(path)
    chance = random.Random(6)
    return [path for every in columns.values() for path in chance.sample(every, min(3, len(every)))]


def changed(value: object) -> object:
    """Another value of the same kind."""
    if isinstance(value, bool) or value is None:
        return not value
    return value + 1 if isinstance(value, int) else f"{value}0"


def test_every_value_of_rows_that_were_entered_is_held_against_the_chain(export: dict[str, Any]) -> None:
    """Without the manifest: whoever writes it anew still has the chain against them."""
    unseen = []
    for path in some_of_each_column(leaves({name: export[name] for name in ROWS})):
        holder: Any = export
        for step in path[:-1]:
            holder = holder[step]
        before, holder[path[-1]] = holder[path[-1]], changed(holder[path[-1]])
        if path[2] != "verdicts" and not export_faults(export):
            unseen.append(".".join(str(step) for step in path if not isinstance(step, int)))
        holder[path[-1]] = before

    assert unseen == []


@pytest.mark.parametrize(
    ("change", "named"),
    [
        (lambda e: e["entries"].pop(4), "An entry is missing or out of order before entry 6."),
        (lambda e: e["entries"].pop(), "The chain ends at entry"),
        (lambda e: e["overhauls"][0]["reading"].pop(3), "has no row"),
        (lambda e: e["overhauls"][0]["verdicts"][0].update(verdict="RENEW"), "was signed as REUSE"),
        (lambda e: e["overhauls"][0]["signature"][0].update(content="{}"), "what was signed was changed"),
        (lambda e: e["overhauls"][0]["reading"][5].update(instrument="X-1"), "“instrument” is 'X-1' and was stored as"),
    ],
)
def test_change_of_content_is_named(export: dict[str, Any], change: Callable[[Any], object], named: str) -> None:
    change(export)

    assert any(named in fault for fault in export_faults(export)), export_faults(export)


def test_manifest_signed_by_another_key_or_by_none_is_named(folder: Path) -> None:
    """Whoever writes a bundle anew has every digest, and not the site's key."""
    key = Ed25519PrivateKey.generate()
    own = json.loads((folder / SIGNATURE).read_text(encoding="utf-8"))
    forged = {**own, "signature": key.sign((folder / MANIFEST).read_bytes()).hex()}
    foreign = {**forged, "public_key": key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw).hex()}
    found = []
    for signature in (forged, foreign, {**own, "algorithm": "none"}, {**own, "signature": own["signature"].upper()}):
        (folder / SIGNATURE).write_text(json.dumps(signature, indent=1), encoding="utf-8")
        found += faults_of(folder)
    (folder / SIGNATURE).unlink()

    assert [*found, *faults_of(folder)] == [
        "manifest.sig does not hold: the site's key did not sign this manifest.",
        "manifest.sig is of a key that is not the site's, as the export has it.",
        "manifest.sig is of a form that this verifier does not know.",
        "manifest.sig does not hold: the site's key did not sign this manifest.",
        "manifest.sig is missing: the site has a key, and signs its manifests.",
    ]


def test_seal_head_and_key_that_the_site_did_not_sign_are_named(export: dict[str, Any]) -> None:
    key, signed, head = export["entries"][0], export["overhauls"][0]["signature"][0], export["signed_heads"][0]
    begun = json.loads(key["new"])
    (entry, *_) = [each for each in export["entries"] if each["what"] == "signed"]
    unsigned = json.dumps({**json.loads(entry["new"]), "site_signature": None})
    again = {**json.loads(entry["new"]), "person": "R. Osk"}

    assert begun["fingerprint"] == signed["site_key"] == head["site_key"]
    assert list(site_faults(export)) == []
    for row, change, said in (
        (entry, {"new": unsigned}, "(signed) does not carry the signature of the site's key."),
        (entry, {"new": json.dumps(again)}, "(signed) does not carry the signature of the site's key."),
        (key, {"new": json.dumps({**begun, "fingerprint": "00"})}, "the site's key is not of the fingerprint"),
        (key, {"new": json.dumps({**begun, "site_signature": "00" * 64})}, "the site's key before did not sign"),
        (head, {"id": 2}, "Signed head 1 is missing."),
        (head, {"seq": head["seq"] - 1}, "does not carry the signature of the site's key."),
        (export["entries"][-1], {"digest": "00"}, "is not the one that the site's key signed"),
    ):
        before = dict(row)
        row.update(change)
        assert said in " ".join(site_faults(export)), said
        row.update(before)


def test_what_is_no_bundle_is_refused_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "no.zip").write_bytes(b"PK no")

    statuses = [main([str(tmp_path / name)]) for name in ("no.zip", "nothing.zip", ".")]

    assert statuses == [2, 2, 2]
    assert capsys.readouterr().err.count("is no bundle that can be read") == 3
