"""Where a ledger may lie: not on a network share, whose locks cannot be trusted; in a synced folder with a warning."""

import re
import sys
from collections.abc import Iterable
from pathlib import Path

from quoting.errors import refused

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
        wanted = (
            "keep the shop folder on this machine's own disk; quoting backup can write to the network drive"
        )
        raise refused("", found, wanted, str(folder))


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
