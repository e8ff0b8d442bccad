"""Making maker's sheets in tests, and asking of one what stands where."""

from __future__ import annotations

import shutil
from functools import cache
from io import BytesIO
from itertools import takewhile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pdfplumber
import pypdf
from sharing import DAY

from quoting import runs
from quoting.documents.bench.page import INTERNAL, MARGIN
from quoting.job.starters import shipped

if TYPE_CHECKING:
    from quoting.pricing.record import Priced

SAMPLES = Path(str(shipped("sample_jobs")))
JOBS = {path.stem: path for path in sorted(SAMPLES.rglob("jobs/*.toml"))}
LEAST_TYPE = 9.0
MM = 72 / 25.4


@cache
def sample(job: str) -> Priced:
    """A sample job as it is priced, reckoned once: the record is frozen, so that all checks may share it."""
    return runs.price(JOBS[job], None, DAY)


def priced_of(folder: Path, job: str, *settings: str, shop: str = "tern_hollow", prices: str = "") -> Priced:
    """A job text priced in a copy of a sample shop, with more lines in its price file."""
    shutil.copytree(SAMPLES / shop, folder / shop, dirs_exist_ok=True)
    book = folder / shop / "prices.csv"
    book.write_text((SAMPLES / shop / "prices.csv").read_text(encoding="utf-8") + prices, encoding="utf-8")
    path = folder / shop / "jobs" / "own.toml"
    path.write_text(job, encoding="utf-8")
    return runs.price(path, None, DAY, settings)


def pages_of(data: bytes) -> list[Any]:
    """The pages, opened: characters, words and rectangles can be asked of each."""
    return list(pdfplumber.open(BytesIO(data)).pages)


def text_of(data: bytes) -> str:
    """All words in the order they are drawn, with single spaces."""
    pages = pypdf.PdfReader(BytesIO(data)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).replace("\u00a0", " ").split())


def ticks(page: Any) -> list[Any]:
    """The boxes to tick: squares."""
    return [one for one in page.rects if abs(one["width"] - one["height"]) < 0.1 and one["width"] > 6]


def assert_well_set(data: bytes) -> None:
    """Marked on every page; nothing outside the margins, no word on another or on a box, no small type."""
    for page in pages_of(data):
        assert page.extract_text().startswith(INTERNAL)
        assert min(char["size"] for char in page.chars) >= LEAST_TYPE - 0.01
        words = page.extract_words()
        for word in words:
            assert word["x0"] >= MARGIN - 0.5, word["text"]
            assert word["x1"] <= page.width - MARGIN + 0.5, word["text"]
            assert 4 * MM < word["top"] < word["bottom"] < page.height - MARGIN + 1, word["text"]
        things = sorted((*words, *ticks(page)), key=lambda thing: thing["top"])
        for i, one in enumerate(things):
            for other in takewhile(lambda thing, low=one["bottom"]: thing["top"] < low, things[i + 1 :]):
                wide = min(one["x1"], other["x1"]) - max(one["x0"], other["x0"])
                high = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
                assert wide < 0.3 or high < 1.5, (one.get("text", "a box"), other.get("text", "a box"))
