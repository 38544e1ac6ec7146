#!/usr/bin/env python3
"""Checks a bundle exported from a Wearbook, alone: no server, no other file, the standard library only.

    python3 verify.py [the bundle's zip, or the folder it was unpacked into]

It recomputes the digest of every file, of every entry of the chain and of everything that was signed, holds each row
against the entry that says what was stored, checks every signature of the site's key (Ed25519), and names whatever was
changed, is missing or was added. Compare the fingerprint that it says with the one that you wrote down elsewhere.
Exit status: 0 nothing was changed, 1 something was, 2 this is no bundle.
"""

import hashlib
import json
import sys
import zipfile
import zlib
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path
from typing import Any

from app.reports.site_seals import signed_file_fault, site_faults

MANIFEST, SIGNATURE, EXPORT = "manifest.json", "manifest.sig", "export.json"
UNREADABLE = (KeyError, TypeError, AttributeError, ValueError, OSError, zipfile.BadZipFile, zlib.error)
OUTSIDE = {MANIFEST, SIGNATURE}  # the manifest cannot name its own digest

Json = dict[str, Any]


class Bundle:
    """The files of a bundle, zipped or unpacked."""

    def __init__(self, path: Path) -> None:
        self._zip = zipfile.ZipFile(path) if path.is_file() else None
        self._folder = path

    def names(self) -> list[str]:
        """Every file in it."""
        if self._zip:
            return [name for name in self._zip.namelist() if not name.endswith("/")]
        every = (path for path in self._folder.rglob("*") if path.is_file() and "__pycache__" not in path.parts)
        return sorted(path.relative_to(self._folder).as_posix() for path in every)

    def read(self, name: str) -> bytes:
        """The bytes of a file; reading a zip checks each file's own sum too."""
        return self._zip.read(name) if self._zip else (self._folder / name).read_bytes()


def faults_of(path: Path) -> list[str]:
    """Name everything that is not as it was exported; ValueError for what is no bundle at all."""
    if not path.exists():
        raise ValueError("there is nothing of that name.")
    bundle = Bundle(path)
    if MANIFEST not in bundle.names():
        raise ValueError(f"it holds no {MANIFEST}.")
    faults: list[str] = []
    for check in (_manifest, _files, _site_signature, _export):
        try:
            faults += check(bundle)
        except UNREADABLE as reason:
            faults.append(f"The bundle is not as it was written ({type(reason).__name__}: {reason}).")
    return faults


def _parsed(text: bytes) -> Json:
    """Read JSON in which no name may stand twice."""

    def once(pairs: list[tuple[str, Any]]) -> Json:
        if len(dict(pairs)) != len(pairs):
            raise ValueError("a name stands twice")
        return dict(pairs)

    content: Json = json.loads(text.decode(), object_pairs_hook=once)
    return content


def _manifest(bundle: Bundle) -> Iterator[str]:
    """Hold the manifest to the very form in which it is written, so that no byte of it is free to change."""
    manifest = _parsed(bundle.read(MANIFEST))
    if (manifest["format"], manifest["version"]) != ("wearbook-manifest", 1):
        yield f"{MANIFEST} is of a form that this verifier does not know."
    if json.dumps(manifest, ensure_ascii=False, indent=1).encode() != bundle.read(MANIFEST):
        yield f"{MANIFEST} is not written as a manifest is."


def _files(bundle: Bundle) -> Iterator[str]:
    """Hold every file against the manifest."""
    manifest = _parsed(bundle.read(MANIFEST))
    listed = {file["path"]: (file["sha256"], file["bytes"]) for file in manifest["files"]}
    there, known = bundle.names(), {*listed, *OUTSIDE}
    yield from (f"{name} is there twice." for name in sorted(set(there)) if there.count(name) > 1)
    yield from (f"{name} was added: the manifest does not list it." for name in there if name not in known)
    for name, said in listed.items():
        if name not in there:
            yield f"{name} is missing."
        elif (fault := _file_fault(bundle, name, said)) is not None:
            yield fault


def _file_fault(bundle: Bundle, name: str, said: tuple[str, int]) -> str | None:
    """Say what is wrong with a file."""
    try:
        content = bundle.read(name)
    except (zipfile.BadZipFile, zlib.error, OSError, NotImplementedError, RuntimeError) as reason:
        return f"{name} cannot be read: {reason}."
    is_same = (hashlib.sha256(content).hexdigest(), len(content)) == said
    return None if is_same else f"{name} was changed: its digest is not the one in the manifest."


def _site_signature(bundle: Bundle) -> Iterator[str]:
    """Check the site's signature over the manifest, where a key has begun: it is the one that signs in the export."""
    keys = _parsed(bundle.read(EXPORT))["site_key"]
    written = bundle.read(SIGNATURE) if SIGNATURE in bundle.names() else None
    if fault := signed_file_fault(written, bundle.read(MANIFEST), keys[-1]["public_key"] if keys else ""):
        yield f"{SIGNATURE} {fault}"


def _export(bundle: Bundle) -> Iterator[str]:
    """Hold what the manifest says of the chain against the export, then check the export itself."""
    manifest, export = _parsed(bundle.read(MANIFEST)), _parsed(bundle.read(EXPORT))
    for name in ("head", "scope", "made_at", "made_by"):
        if manifest[name] != export[name]:
            yield f"{EXPORT}: “{name}” is not the manifest's."
    yield from export_faults(export)
    pictures = {row["digest"] for overhaul in export["overhauls"] for row in overhaul["photo"]}
    for digest in sorted(pictures | {row["picture"] for row in export.get("sheet_approval", []) if row["picture"]}):
        name = f"photos/{digest}.jpg"
        if name not in bundle.names() or hashlib.sha256(bundle.read(name)).hexdigest() != digest:
            yield f"{name} is missing, or is not the picture of its row."


def export_faults(export: Json) -> list[str]:
    """Name what is wrong with the content of an export: its chain, its rows, its seals, the site's signatures."""
    return [*_chain(export), *_rows(export), *_seals(export), *site_faults(export)]


def _chain(export: Json) -> Iterator[str]:
    """Recompute every entry's digest, and that each holds the one before it."""
    is_book = export["scope"] == "book"
    before: Json | None = {"seq": 0, "digest": ""} if is_book else None
    for entry in export["entries"]:
        kept = {name: value for name, value in entry.items() if name != "digest"}
        if _digest(_canonical(kept)) != entry["digest"]:
            yield f"Entry {entry['seq']} ({entry['what']}, {entry['subject']}, {entry['at']}) was changed."
        follows = before is not None and entry["seq"] == before["seq"] + 1
        if is_book and not follows:
            yield f"An entry is missing or out of order before entry {entry['seq']}."
        if before is not None and follows and entry["previous"] != before["digest"]:
            yield f"Entry {entry['seq']} does not follow from the one before it."
        before = entry
    head = {"seq": before["seq"], "digest": before["digest"]} if before else {"seq": 0, "digest": ""}
    if is_book and head != export["head"]:
        yield f"The chain ends at entry {head['seq']}, and ended at entry {export['head']['seq']} when it was exported."


def _rows(export: Json) -> Iterator[str]:
    """Hold every row against the entry that says what was stored, whatever order they come in."""
    tables = {what: table for table, whats in export["entered_as"].items() for what in whats}
    entered: dict[str, list[Json]] = {}
    for entry in export["entries"]:
        if entry["what"] in tables and _is_of_this_export(entry, export):
            entered.setdefault(tables[entry["what"]], []).append(entry)
    rows = _rows_by_table(export)
    for table in sorted({*rows, *entered}):
        yield from _table_faults(table, rows.get(table, []), entered.get(table, []))


def _is_of_this_export(entry: Json, export: Json) -> bool:
    """Whether an entry is of a machine in this export; one that names no machine is told by its subject."""
    machine = _stored(entry).get("machine_id")
    return machine is None or machine in [each["id"] for each in export["machines"]]


def _rows_by_table(export: Json) -> dict[str, list[Json]]:
    """Every row by its table; those of a machine or an overhaul stand within it."""
    rows: dict[str, list[Json]] = {name: list(export.get(name, [])) for name in export["entered_as"]}
    rows |= {"person": export["people"], "sheet_revision": export["sheets"]}
    for table, holders in (("machine", export["machines"]), ("overhaul", export["overhauls"])):
        for holder in holders:
            own = {name: each for name, each in holder.items() if not isinstance(each, list)}
            rows.setdefault(table, []).append(own)
            for name in export["entered_as"]:
                rows.setdefault(name, []).extend(holder.get(name, []))
    return rows


def _table_faults(table: str, rows: list[Json], entries: list[Json]) -> Iterator[str]:
    """Take every row together with its entry; what is left over on either side was changed, added or lost."""
    columns = {name for row in rows for name in row}
    told = [{name: each for name, each in _stored(entry).items() if name in columns} for entry in entries]
    waiting: dict[str, list[Json]] = {}
    for entry, stored in zip(entries, told, strict=True):
        waiting.setdefault(_canonical(stored), []).append(entry)
    shapes = {frozenset(stored) for stored in told if stored}
    strays = [row for row in rows if not _takes_its_entry(row, shapes, waiting)]
    left = sorted((entry for every in waiting.values() for entry in every), key=lambda entry: int(entry["seq"]))
    for stray, lone in zip_longest(strays, left):
        yield _mismatch(table, stray, lone)


def _takes_its_entry(row: Json, shapes: set[frozenset[str]], waiting: dict[str, list[Json]]) -> bool:
    """Whether an entry says of a row exactly what stands in it; each entry is taken once."""
    keys = [_canonical({name: row.get(name) for name in shape}) for shape in shapes]
    key = next((key for key in keys if waiting.get(key)), None)
    if key is not None:
        waiting[key].pop()
    return key is not None


def _mismatch(table: str, row: Json | None, entry: Json | None) -> str:
    """Say what a row without its entry and an entry without its row differ in."""
    if row is None or entry is None:
        return f"{table}: a row has no entry." if entry is None else f"{table}: entry {entry['seq']} has no row."
    stored = {name: each for name, each in _stored(entry).items() if name in row}
    different = [name for name in sorted(stored) if row.get(name) != stored[name]]
    told = "; ".join(f"“{name}” is {row.get(name)!r} and was stored as {stored[name]!r}" for name in different[:3])
    return f"{table}, {entry['subject']}, entry {entry['seq']}: {told or 'what was stored cannot be read'}."


def _stored(entry: Json) -> Json:
    """What an entry says was stored; nothing where that cannot be read."""
    try:
        stored = json.loads(entry["new"])
    except ValueError:
        return {}
    return stored if isinstance(stored, dict) else {}


def _seals(export: Json) -> Iterator[str]:
    """Hold everything that was signed, and every sheet, against its digest."""
    for seal in export.get("sheet_approval", []):
        if _digest(seal["content"]) != seal["digest"]:
            yield f"The approval of a sheet that {seal['person']} signed {seal['at']} was changed."
    for sheet in export["sheets"]:
        if _digest(sheet["text"]) != sheet["digest"]:
            yield f"The text of sheet {sheet['name']} rev {sheet['revision']} was changed."
    for overhaul in export["overhauls"]:
        for seal in (*overhaul.get("amendment_answer", []), *overhaul.get("witness", [])):
            if _digest(seal["content"]) != seal["digest"]:
                yield f"overhaul {overhaul['id']}: what {seal['person']} signed {seal['at']} was changed."
        for signature in overhaul["signature"]:
            where = f"overhaul {overhaul['id']}: “{signature['meaning']}”, signed by {signature['person']}"
            if _digest(signature["content"]) != signature["digest"]:
                yield f"{where}: what was signed was changed."
            else:
                yield from (f"{where}: {fault}" for fault in _sealed(json.loads(signature["content"]), overhaul))


def _sealed(content: Json, overhaul: Json) -> Iterator[str]:
    """Hold the readings and verdicts that were signed against those that are shown."""
    shown = {row["id"]: row for row in overhaul["reading"]}
    for reading in [*content["as_found"], *content.get("as_fitted", [])]:
        row = shown.get(reading["id"])
        if row is None:
            yield f"reading {reading['id']} was signed and is not shown."
        elif any(reading[name] != row[name] for name in ("measured_by", "instrument", "measured_at", "reason")) or (
            (reading["value"] or {}).get("typed") != row["value_typed"]
        ):
            yield f"reading {reading['id']} is not as it was signed."
    signed = {verdict["part"]: verdict["verdict"] for verdict in content.get("verdicts", [])}
    for verdict in overhaul["verdicts"]:
        if signed.get(verdict["part"], verdict["verdict"]) != verdict["verdict"]:
            yield f"{verdict['item']} {verdict['name']} was signed as {signed[verdict['part']]}."


def _canonical(content: Json) -> str:
    """Write content as it was written before its digest was taken."""
    return json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def _digest(text: str) -> str:
    """The SHA-256 digest of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


def main(words: list[str]) -> int:
    """Check a bundle and say what was found."""
    path = Path(words[0]) if words else Path(__file__).resolve().parent
    try:
        faults = faults_of(path)
    except (ValueError, OSError, zipfile.BadZipFile) as reason:
        print(f"{path} is no bundle that can be read: {reason}", file=sys.stderr)
        return 2
    for fault in faults:
        print(f"CHANGED  {fault}")
    if faults:
        return 1
    export = _parsed(Bundle(path).read(EXPORT))
    head, keys = export["head"], export["site_key"]
    print(f"Nothing was changed. The chain ended at entry {head['seq']}, digest {head['digest']}.")
    print(f"Signed by the site's key {keys[-1]['fingerprint']}." if keys else "The site had no key to sign with.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
