"""The shop folder that a command is about, and the care of its ledger: a copy, a check, everything as plain files, and back."""

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from quoting.errors import Problem, Problems, Reading, refuse, refused
from quoting.job.load import SHOP_FILE
from quoting.ledger import export, sound
from quoting.ledger.sound import synced_by
from quoting.ledger.store import LEDGER_FILE, Connection, copied, copy_of, put_in_place, reading, writing
from quoting.written import write_all

SYNCED = (
    "the shop folder is synced with other machines ({folder}): let one machine write at a time, wait until syncing is"
    " done, and make a copy now and then (quoting backup)"
)
WAITING = "another terminal is writing to the ledger; waiting for it"
BACKUPS = "backups"


def shop_folder_here(given: Path | None) -> Path:
    """The shop folder: the one given, the one we are in, or the one above."""
    folders = (given,) if given is not None else (Path.cwd(), Path.cwd().parent)
    for folder in folders:
        if (folder / SHOP_FILE).is_file():
            return folder
    place = str(given) if given is not None else "here or in the folder above"
    raise refused("", f"found no {SHOP_FILE} in {place}", "write --shop FOLDER")


@contextmanager
def ledger_to_write(folder: Path, tell: Callable[[str], None], existing: bool = True) -> Iterator[Connection]:
    """The ledger of a shop in one transaction; told is where it lies in a synced folder, or is waited for."""
    place = synced_by(folder.resolve())
    if place:
        tell(SYNCED.format(folder=place))
    with writing(folder, lambda: tell(WAITING), existing=existing) as book:
        yield book


@contextmanager
def typed(option: str) -> Iterator[None]:
    """Reads what was typed: what cannot be read is a problem of its option."""
    try:
        yield
    except Reading as wrong:
        raise refused(option, wrong.found, wrong.write) from None


def backup(folder: Path, target: Path | None) -> tuple[Path, dict[str, int]]:
    """Copy the ledger into a folder under the moment's name. Gives the copy and its rows by table.

    Raises Problems where the copy is not sound: then it is a copy of a damaged ledger, and stays for whoever repairs it.
    """
    into = target if target is not None else folder / BACKUPS
    if into.exists() and not into.is_dir():
        raise refused("", "is a file, not a folder", "name a folder to write into", str(into))
    into.mkdir(parents=True, exist_ok=True)
    path = into / f"ledger {datetime.now():%Y-%m-%d %H%M%S}.sqlite"
    with reading(folder) as book:
        copied(book, path)
    with copy_of(path) as copy:
        wrong, rows = sound.faults(copy), sound.counts(copy)
    if wrong:
        wanted = "put an older copy in the ledger's place, if there is one"
        raise Problems([Problem("", one, wanted, path.name) for one in wrong], done=True)
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
        raise refused("", f"found no {SHOP_FILE}", "name a shop folder with --shop", str(folder))
    if (folder / LEDGER_FILE).exists():
        raise refused("", "is there already", "move it away first; nothing is written over", LEDGER_FILE)
    stale = [name for ending in ("-journal", "-wal") if (folder / (name := LEDGER_FILE + ending)).exists()]
    # It belongs to the ledger that was moved away, and would be played back into the new one.
    refuse(Problem("", "is left of another ledger", "move it away with that ledger", one) for one in stale)
    read = _read(source)
    with tempfile.TemporaryDirectory(dir=folder, prefix=".quoting-") as made:
        with writing(Path(made), waiting) as book:
            if export.JSON_FILE in read:
                export.from_json(book, read[export.JSON_FILE])
            else:
                export.from_csv(book, read)
            refuse(Problem("", one, "export it again", str(source)) for one in sound.faults(book))
            rows = sound.counts(book)
        put_in_place(Path(made, LEDGER_FILE), folder / LEDGER_FILE)
    return rows


def _read(source: Path) -> dict[str, bytes]:
    if source.is_file():
        return {export.JSON_FILE: source.read_bytes()}
    if not source.is_dir():
        raise refused("", "found nothing there", "name the folder or file of an export", str(source))
    if (source / export.JSON_FILE).is_file():
        return {export.JSON_FILE: (source / export.JSON_FILE).read_bytes()}
    paths = [*source.glob("*.csv"), *source.glob(f"{export.FILES}/*")]
    return {path.relative_to(source).as_posix(): path.read_bytes() for path in paths if path.is_file()}
