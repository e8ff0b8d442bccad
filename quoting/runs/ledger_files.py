"""The ledger of a shop folder as a file: a copy, a check, plain files and back."""

import tempfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from quoting.advice import Advice
from quoting.errors import Problem, Problems, refuse, refused
from quoting.job.files import SHOP_FILE
from quoting.ledger import export, sound
from quoting.ledger.store import LEDGER_FILE, copied, copy_of, put_in_place, reading, writing
from quoting.written import write_all

BACKUPS = "backups"


def backup(folder: Path, now: datetime, target: Path | None) -> tuple[Path, dict[str, int]]:
    """Copy the ledger into a folder under the name of the moment. Gives the copy and its rows by table.

    Raises Problems where the copy is not sound: then it is a copy of a damaged ledger, and stays for whoever repairs it.
    """
    into = target if target is not None else folder / BACKUPS
    if into.exists() and not into.is_dir():
        raise refused(
            "", "is a file, not a folder", "name a folder to write into", str(into), code="file_kind"
        )
    into.mkdir(parents=True, exist_ok=True)
    path = into / f"ledger {now:%Y-%m-%d %H%M%S}.sqlite"
    with reading(folder) as book:
        copied(book, path)
    with copy_of(path) as copy:
        wrong, rows = sound.faults(copy), sound.counts(copy)
    if wrong:
        wanted = "put an older copy in the ledger's place, if there is one"
        raise Problems(
            [Problem.of("", one, wanted, "file_damaged").at(path.name) for one in wrong], done=True
        )
    return path, rows


def check(folder: Path) -> tuple[list[str], dict[str, int]]:
    """What is wrong with the ledger, and its rows by table."""
    with reading(folder) as book:
        return sound.faults(book), sound.counts(book)


def export_all(folder: Path, out: Path, as_json: bool) -> list[Path]:
    """Write everything in the ledger as plain files."""
    with reading(folder) as book:
        files = {export.JSON_FILE: export.as_json(book)} if as_json else export.as_csv(book)
    inside = {name.partition("/")[2]: data for name, data in files.items() if "/" in name}
    flat = {name: data for name, data in files.items() if "/" not in name}
    origin = f"export of {folder.resolve()}"
    written = write_all(out / export.FILES, inside, origin, overwrite=False) if inside else []
    return [*written, *write_all(out, flat, origin, overwrite=False)]


def restore(folder: Path, source: Path, waiting: Callable[[], None]) -> dict[str, int]:
    """Fill a new ledger of a shop folder from exported files. Raises Problems where there is a ledger already."""
    if not (folder / SHOP_FILE).is_file():
        raise refused("", f"found no {SHOP_FILE}", Advice("give_shop"), str(folder), code="no_shop")
    if (folder / LEDGER_FILE).exists():
        raise refused(
            "",
            "is there already",
            "move it away first; nothing is written over",
            LEDGER_FILE,
            code="file_exists",
        )
    stale = [name for ending in ("-journal", "-wal") if (folder / (name := LEDGER_FILE + ending)).exists()]
    # It belongs to the ledger that was moved away, and would be played back into the new one.
    refuse(
        Problem.of("", "is left of another ledger", "move it away with that ledger", "file_exists").at(one)
        for one in stale
    )
    read = _read(source)
    with tempfile.TemporaryDirectory(dir=folder, prefix=".quoting-") as made:
        with writing(Path(made), waiting) as book:
            if export.JSON_FILE in read:
                export.from_json(book, read[export.JSON_FILE])
            else:
                export.from_csv(book, read)
            refuse(
                Problem.of("", one, "export it again", "file_damaged").at(str(source))
                for one in sound.faults(book)
            )
            rows = sound.counts(book)
        put_in_place(Path(made, LEDGER_FILE), folder / LEDGER_FILE)
    return rows


def _read(source: Path) -> dict[str, bytes]:
    whole = source / export.JSON_FILE if source.is_dir() else source
    if whole.is_file():
        return {export.JSON_FILE: whole.read_bytes()}
    if not source.is_dir():
        raise refused(
            "",
            "found nothing there",
            "name the folder or file of an export",
            str(source),
            code="file_missing",
        )
    paths = [*source.glob("*.csv"), *source.glob(f"{export.FILES}/*")]
    return {path.relative_to(source).as_posix(): path.read_bytes() for path in paths if path.is_file()}
