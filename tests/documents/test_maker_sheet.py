"""The maker's sheet: marked on every page, the same bytes twice, each round there."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest

from quoting import runs
from quoting.documents.maker_sheet import INTERNAL, maker_sheet_bytes
from quoting.inputs.shipped import shipped

JOBS = sorted(Path(str(shipped("sample_jobs"))).rglob("jobs/*.toml"))


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_every_page_is_marked_and_every_round_is_there(job: Path) -> None:
    priced = runs.price(job, None)
    data = maker_sheet_bytes(priced)
    assert data == maker_sheet_bytes(priced)
    with pdfplumber.open(BytesIO(data)) as document:
        pages = [page.extract_text() for page in document.pages]
    assert all(text.startswith(INTERNAL) for text in pages)
    whole = "\n".join(pages)
    rounds = sum(len(card.rounds) for card in priced.bench)
    assert whole.count("Round ") == rounds
    assert ("Laminate card" in whole) == bool(rounds)
    for line in priced.buying:
        assert line.item.split()[0] in whole
