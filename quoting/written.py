"""Writing files: all or none, never half, never over somebody's changes."""

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from quoting.advice import Advice
from quoting.errors import Problem, refuse, refused
from quoting.reading.sources import readable

RECORD = ".quoting-written.json"
TRIES = 3


def write_all(folder: Path, files: Mapping[str, bytes], origin: str, overwrite: bool) -> list[Path]:
    """Write files into a folder by way of temporary ones. Raises Problems before anything is written
    where a file is there that was not written from the same `origin`, or that was changed since, unless
    `overwrite`. ValueError for a name that would lie elsewhere.
    """
    if strangers := [name for name in files if Path(name).name != name]:
        raise ValueError(f"no bare file names: {strangers}")
    if folder.exists() and not folder.is_dir():
        raise refused(
            "", "is a file, not a folder", "name a folder to write into", str(folder), code="file_kind"
        )
    folder.mkdir(parents=True, exist_ok=True)
    last = _last_written(folder)
    if not overwrite:
        found = "found a file that was changed since it was written, or comes from another job"
        wanted = Advice("overwrite")
        there = {name: (folder / name).read_bytes() for name in files if (folder / name).exists()}
        changed = [name for name, data in there.items() if last.get(name) != _fingerprint(origin, data)]
        refuse(Problem.of("", found, wanted, "file_changed").at(name) for name in changed)
    record = {**last, **{name: _fingerprint(origin, data) for name, data in files.items()}}
    everything = {**files, RECORD: json.dumps(record, indent=0, sort_keys=True).encode()}
    put({folder / name: data for name, data in everything.items()})
    return [folder / name for name in files]


def wrote(folder: Path, name: str, origin: str) -> bool:
    """True where a file is there as it was last written from `origin`."""
    path = folder / name
    return path.is_file() and _last_written(folder).get(name) == _fingerprint(origin, path.read_bytes())


def put(files: Mapping[Path, bytes]) -> None:
    """Write files by way of temporary ones, over what stands there: all or none. Who may read and write a file stays as it is."""
    made: dict[Path, Path] = {}
    try:
        for target, data in files.items():
            made[target] = _temporary(target, data)
        _put_in_place(made)
    finally:
        for temporary in made.values():
            temporary.unlink(missing_ok=True)


def rewritten(path: Path, make: Callable[[bytes], bytes]) -> None:
    """Replace a file by what `make` makes of its bytes; a link leads to the file that is replaced. Where somebody else writes it between
    reading and writing, it is made anew. Raises Problems where that happens again and again.
    """
    target = Path(os.path.realpath(path))
    for _ in range(TRIES):
        with readable(path):
            before = target.read_bytes()
        after = make(before)
        if target.read_bytes() == before:
            if after != before:
                put({target: after})
            return
    raise refused(
        "", "is written by another program again and again", "try once more", path.name, code="busy"
    )


def _temporary(target: Path, data: bytes) -> Path:
    """A new file beside a target, with its mode, that holds `data`, on disk; none where it cannot all be written."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".quoting-", suffix=".tmp")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, target.stat().st_mode & 0o777 if target.exists() else 0o644)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return Path(name)


def _put_in_place(made: Mapping[Path, Path]) -> None:
    """Move every temporary file to its target; where one fails, the targets are as they were before."""
    kept: dict[Path, Path | None] = {}
    try:
        for target, temporary in made.items():
            kept[target] = _temporary(target, target.read_bytes()) if target.exists() else None
            temporary.replace(target)
    except BaseException:
        for target, old in kept.items():
            if old is not None:
                shutil.move(old, target)
            elif not made[target].exists():
                target.unlink(missing_ok=True)
        raise
    for old in kept.values():
        if old is not None:
            old.unlink(missing_ok=True)


def _last_written(folder: Path) -> dict[str, str]:
    """Fingerprints of the files as this tool last wrote them."""
    try:
        record = json.loads((folder / RECORD).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(name): str(value) for name, value in record.items()} if isinstance(record, dict) else {}


def _fingerprint(origin: str, data: bytes) -> str:
    """SHA-256 of what was written and for whom."""
    return hashlib.sha256(origin.encode() + b"\0" + data).hexdigest()
