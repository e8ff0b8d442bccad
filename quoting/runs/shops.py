"""The shop folder that a command is about, and what its ledger tells beside its answer."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from quoting.errors import Problem, Problems
from quoting.job.load import SHOP_FILE
from quoting.ledger.place import synced_by

if TYPE_CHECKING:
    from collections.abc import Callable

SYNCED = (
    "the shop folder is synced with other machines ({folder}): let one machine write at a time, wait until syncing is"
    " done, and make a copy now and then (quoting backup)"
)
WAITING = "another terminal is writing to the ledger; waiting for it"


def shop_folder_here(given: Path | None) -> Path:
    """The shop folder: the one given, the one we are in, or the one above."""
    folders = (given,) if given is not None else (Path.cwd(), Path.cwd().parent)
    for folder in folders:
        if (folder / SHOP_FILE).is_file():
            return folder
    place = str(given) if given is not None else "here or in the folder above"
    raise Problems([Problem("", f"found no {SHOP_FILE} in {place}", "write --shop FOLDER")])


def warn_if_synced(folder: Path, tell: Callable[[str], None]) -> None:
    """Tell that the ledger lies in a synced folder, where it does."""
    place = synced_by(folder.resolve())
    if place:
        tell(SYNCED.format(folder=place))
