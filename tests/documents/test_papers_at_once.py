"""Papers that are drawn at the same time have the bytes of papers drawn alone, and drawing leaves nothing changed behind it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import unicodedata
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from documents.sheets import JOBS, sample
from end_to_end.ledgers import make
from reportlab.pdfgen.canvas import Canvas
from sharing import DAY, once

import quoting
from quoting.documents.paper.tagged import DatedCanvas
from quoting.documents.paper.text import REGULAR, glyphs

SCRIPT = Path(__file__).with_name("at_once.py")
ROOT = Path(quoting.__file__).resolve().parents[1]
FEW = ("library_console",)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample shop with its ledger; not to be changed."""
    return once(tmp_path_factory, "booked", make)


@pytest.mark.parametrize("names", [FEW, pytest.param(tuple(JOBS), marks=pytest.mark.exhaustive)])
def test_papers_drawn_at_once_have_the_bytes_of_papers_drawn_alone(
    book: Path, names: tuple[str, ...]
) -> None:
    """In a process without a terminal, whose environment, signals, warnings and folder stay as they were."""
    done = subprocess.run(
        [sys.executable, SCRIPT, book, *(JOBS[name] for name in names)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        timeout=550,
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert found["papers"] > 8 * len(names)
    assert (found["differing"], found["kept"], found["said"], done.stderr) == ([], True, "", "")


def test_a_file_dated_by_argument_is_one_dated_by_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    """By the convention of reproducible builds, SOURCE_DATE_EPOCH in seconds since 1970, which the library follows (reproducible-builds.org)."""
    day = date(2027, 3, 1)
    ours, theirs = BytesIO(), BytesIO()
    made = DatedCanvas(day, ours)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str((day - date(1970, 1, 1)).days * 86_400))
    for canvas in (made, Canvas(theirs)):
        canvas.drawString(72, 720, sample("ash_bench").job.piece.title)
        canvas.showPage()
        canvas.save()
    assert ours.getvalue() == theirs.getvalue()


def test_faces_are_put_into_two_files_at_once() -> None:
    """Letters with accents are the ones that the library looks up in parts, by a place in the font file."""
    letters = "".join(sorted(sign for sign in glyphs() if unicodedata.decomposition(sign)))

    def drawn(first: int) -> bytes:
        out = BytesIO()
        canvas = DatedCanvas(DAY, out)
        canvas.setFont(REGULAR, 6)
        canvas.drawString(10, 20, letters[first:] + letters[:first])
        canvas.showPage()
        canvas.save()
        return out.getvalue()

    starts = (0, len(letters) // 2)
    alone = [drawn(first) for first in starts]
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(2) as threads:
            assert all(list(threads.map(drawn, starts)) == alone for _ in range(20))
    finally:
        sys.setswitchinterval(before)
