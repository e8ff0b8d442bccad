"""Can a ledger be trusted: where it lies, what SQLite says of its pages, and what the tool knows of its rows."""

import hashlib
import json
import re
import sqlite3
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from quoting.advice import Advice
from quoting.errors import refused
from quoting.ledger.schema import TABLES, as_made

NETWORK_KINDS = re.compile(
    r"nfs[34]?|cifs|smb[23]?|smbfs|afpfs|afs|ncpfs|webdav|davfs2|(fuse\.)?(davfs|sshfs|ceph|glusterfs)"
    r"|fuse\.(gvfsd-fuse|rclone|s3fs)|lustre|beegfs|coda"
)
"""Kinds of file system that live on another machine, as mount tables name them."""

SYNCED_NAMES = re.compile(
    r"dropbox|onedrive\b.*|google ?drive|my drive|icloud ?drive|com~apple~clouddocs|cloudstorage|nextcloud|owncloud"
    r"|syncthing|sync|pcloud ?drive|mega ?sync",
    re.IGNORECASE,
)
SYNCED_MARKS = (".stfolder", ".sync", ".dropbox", ".owncloudsync.log", ".nextcloudsync.log")
"""Names of folders, and of what a synchroniser leaves in them."""

MOUNT_TABLE = Path("/proc/self/mounts")


def refuse_network(folder: Path, mounts: str | None = None) -> None:
    """Raise Problems where a folder lies on another machine. `mounts` is the mount table of this one."""
    kind = network_kind(folder, _mount_table() if mounts is None else mounts)
    if kind:
        found = f"found the shop folder on a network drive ({kind}), where two writers can spoil the ledger"
        wanted = Advice("own_disk")
        raise refused("", found, wanted, str(folder), code="unsafe_place", kind=kind)


def network_kind(folder: Path, mounts: str) -> str:
    """The kind of network drive that a folder lies on; "" for a disk of this machine.

    The longest mount point that the path begins with rules, and of several at one point the last.
    """
    path = str(folder)
    if path.startswith(("\\\\", "//")):
        return "a path of another machine"
    best, kind = "", ""
    for line in mounts.splitlines():
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        point = re.sub(r"\\(\d{3})", lambda octal: chr(int(octal[1], 8)), fields[1])
        below = point if point.endswith(("/", ":\\")) else point + "/"
        inside = path == point or path.startswith(below)
        if inside and len(point) >= len(best):
            best, kind = point, fields[2]
    return kind if NETWORK_KINDS.fullmatch(kind) else ""


def _mount_table() -> str:
    """The mount table; of a system without one, what its own tools tell of a drive."""
    if MOUNT_TABLE.exists():
        return MOUNT_TABLE.read_text(encoding="utf-8", errors="replace")
    return _windows_drives() if sys.platform == "win32" else ""


def _windows_drives() -> str:
    """Drives that are letters for another machine, as lines of a mount table."""
    if sys.platform != "win32":
        return ""
    import ctypes

    remote = 4
    letters = (f"{letter}:" for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    shared = [one for one in letters if ctypes.windll.kernel32.GetDriveTypeW(f"{one}\\") == remote]
    return "\n".join(f"share {one}\\ smb" for one in shared)


def synced_by(folder: Path) -> str:
    """The folder that a synchroniser watches, where the path lies in one; "" where none can be seen."""
    for above in (folder, *folder.parents):
        if SYNCED_NAMES.fullmatch(above.name) or _marked(above, SYNCED_MARKS):
            return str(above)
    return ""


def _marked(folder: Path, marks: Iterable[str]) -> bool:
    try:
        return any((folder / mark).exists() for mark in marks)
    except OSError:
        return False


def faults(connection: sqlite3.Connection) -> list[str]:
    """Everything that is wrong with a ledger, in words; empty where it is sound."""
    found = [f"pages: {row[0]}" for row in connection.execute("PRAGMA integrity_check") if row[0] != "ok"]
    if found:  # rows of spoilt pages hold anything
        return found
    found += [
        f"table {table}, row {row}: refers to nothing in {parent}"
        for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check")
    ]
    if not as_made(connection):
        found.append("tables: not what this version of the ledger makes")
    looks = (_gaps, _days, _files, _records, _guards)
    return [*found, *(fault for look in looks for fault in look(connection))]


def counts(connection: sqlite3.Connection) -> dict[str, int]:
    """Rows by table."""
    return {name: int(connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]) for name in TABLES}


def _gaps(connection: sqlite3.Connection) -> Iterator[str]:
    """Numbers must run from one without a gap: pieces in their year, revisions and changes in their piece."""
    years = "SELECT year, count(*), max(serial) FROM piece GROUP BY year"
    for year, count, last in connection.execute(years):
        if count != last:
            yield f"year {year}: {count} pieces, but the last is {last}"
    revisions = (
        "SELECT year, serial, count(quote.id), max(revision) FROM piece LEFT JOIN quote ON quote.piece = piece.id"
        " GROUP BY piece.id"
    )
    for year, serial, count, last in connection.execute(revisions):
        if count != (last or 0) + 1:
            yield f"piece {year}-{serial:03}: {count} quotes, but the last revision is {last}"
    entries = connection.execute("SELECT count(*), coalesce(max(id), 0) FROM entry").fetchone()
    if entries[0] != entries[1]:
        yield f"{entries[0]} entries, but the last is {entries[1]}"
    states = "SELECT quote.id FROM quote WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry.quote = quote.id AND kind = 'state')"
    for (quote,) in connection.execute(states):
        yield f"quote {quote} has no state"


def _days(connection: sqlite3.Connection) -> Iterator[str]:
    """Days must be in the calendar: SQLite moves one that is not."""
    for table, column in (("quote", "day"), ("quote", "valid_until"), ("entry", "day")):
        rows = f"SELECT id, {column} FROM {table} WHERE date({column}) IS NOT {column}"
        for id, day in connection.execute(rows):
            yield f'table {table}, row {id}: found the {column} "{day}"'


def _files(connection: sqlite3.Connection) -> Iterator[str]:
    for sha256, data in connection.execute("SELECT sha256, bytes FROM blob"):
        if hashlib.sha256(data).hexdigest() != sha256:
            yield f"file {sha256[:12]}: its content does not fit its fingerprint"
    bare = "SELECT id FROM quote WHERE NOT EXISTS (SELECT 1 FROM quote_file WHERE quote = quote.id AND role = 'document')"
    for (quote,) in connection.execute(bare):
        yield f"quote {quote} has no documents"


def _records(connection: sqlite3.Connection) -> Iterator[str]:
    for table in ("quote_file", "change_file"):
        rows = f"SELECT DISTINCT sha256, bytes FROM {table} JOIN blob USING (sha256) WHERE role = 'result'"
        for sha256, data in connection.execute(rows):
            try:
                json.loads(data)
            except ValueError:
                yield f"file {sha256[:12]}: no frozen results"


def _guards(connection: sqlite3.Connection) -> Iterator[str]:
    names = {row[0] for row in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'")}
    for table in TABLES:
        for article, verb in (("an", "update"), ("a", "delete")):
            if f"{table}_no_{verb}" not in names:
                yield f"table {table}: nothing refuses {article} {verb}"
