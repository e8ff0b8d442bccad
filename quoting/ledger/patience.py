"""Waiting for another terminal that writes."""

from __future__ import annotations

import sqlite3
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

PATIENCE_S = 60.0  # for another terminal
GLANCE_S = 0.25  # between looks at whether it is done


def patiently(act: Callable[[], object], waiting: Callable[[], None]) -> None:
    """Do something once no other terminal is in the way."""
    until, told = time.monotonic() + PATIENCE_S, False
    while True:
        try:
            act()
            return
        except sqlite3.OperationalError as error:
            if (
                getattr(error, "sqlite_errorcode", 0) & 0xFF != sqlite3.SQLITE_BUSY
                or time.monotonic() > until
            ):
                raise
        if not told:
            waiting()
            told = True
