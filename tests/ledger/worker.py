"""A terminal that adds to a ledger without a rest, and says each thing once it is acknowledged.

`worker.py FOLDER NAME COUNT`: every third time a quote is issued, else a note is written.
"""

from __future__ import annotations

import sys
from pathlib import Path

from ledger.books import issue, note, pages, quiet

from quoting.ledger import entries
from quoting.ledger.store import writing


def work(folder: Path, name: str, count: int) -> None:
    """Add so many things; each is said on a line of its own."""
    for turn in range(count):
        words = f"{name}.{turn}"
        with writing(folder, quiet) as book:
            if turn % 3 == 0:
                told = f"quote {issue(book, words, [pages(words, 9000)]).number} {words}"
            else:
                told = f"entry {entries.add(book, note(words)).id} {words}"
        print(told, flush=True)


if __name__ == "__main__":
    work(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
