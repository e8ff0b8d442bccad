"""What tests share. What takes long to make is made once for all workers of a run: the first that needs it makes it, the others wait."""

from __future__ import annotations

import os
import shutil
import time
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    import pytest

DAY = date(2027, 3, 1)
"""The day on which recipes are asked, where it matters not which: never that of the clock."""

PATIENCE_S = 900.0  # far more than anything shared takes; a worker that was killed must not let the others wait for ever
GLANCE_S = 0.05


def once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """The folder `name` of this run, filled by `make`, which is given a folder that is not there yet. Not to be changed."""
    base = factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        base = base.parent  # the workers of a run have folders of their own in it
    folder, lock, made = base / name, base / f"{name}.lock", base / f"{name}.made"
    until = time.monotonic() + PATIENCE_S
    while not made.exists():
        try:
            lock.mkdir()
        except FileExistsError:
            assert time.monotonic() < until, f"{name} is not made by another worker within {PATIENCE_S:g} s"
            time.sleep(GLANCE_S)
            continue
        try:
            if not made.exists():
                shutil.rmtree(folder, ignore_errors=True)  # what a try that failed has left
                make(folder)
                made.touch()
        finally:
            lock.rmdir()
    return folder
