"""What is being done, on one line of the terminal; nothing where nobody watches."""

from __future__ import annotations

import os
import sys


def progress(words: str) -> None:
    """Say what is being done in place of what was said before; an empty text clears the line."""
    if sys.stderr.isatty() and os.environ.get("TERM") != "dumb":
        sys.stderr.write(f"\r\033[K{words + ' ...' if words else ''}")
        sys.stderr.flush()
