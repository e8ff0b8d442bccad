"""What a maker may leave out of a quote, and what a piece for sale does not ask."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import pypdf
import pytest

from quoting.documents.quote.pdf import quote_bytes
from quoting.job.load import load
from quoting.job.starters import wording
from quoting.pricing.price import priced as price_of
from quoting.pricing.record import Variant

if TYPE_CHECKING:
    from quoting.pricing.record import Priced

CONSOLE = Path(__file__).parents[2] / "sample_jobs" / "tern_hollow" / "jobs" / "library_console.toml"


def reckoned(*settings: str) -> Priced:
    return price_of(load(CONSOLE, settings=settings), date(2027, 2, 1), wording(CONSOLE.parents[1], []), {})


def pages(priced: Priced) -> list[str]:
    data, _ = quote_bytes(priced)
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(BytesIO(data)).pages]


def worded(priced: Priced, section: str, **words: str) -> Priced:
    """The same price in other words."""
    return replace(priced, wording={**priced.wording, section: {**priced.wording[section], **words}})


@pytest.fixture(scope="module")
def console() -> Priced:
    options = (Variant("no shelf", "No shelf and no brackets.", Decimal("8000.00")),)
    return replace(reckoned(), options=options)


def test_a_job_leaves_safety_notes_out(console: Priced) -> None:
    """Only those it names; the maker is still reminded of all."""
    left = replace(
        console, job=replace(console.job, quote=replace(console.job.quote, leave_out=("glass", "resin")))
    )
    before, after = " ".join(pages(console)), " ".join(pages(left))
    for words in ("The glass is heavy", "Keep hot pans and strong"):
        assert words in before
        assert words not in after
    for words in ("Fix this piece to a wall", "The piece weighs about"):
        assert words in after
    assert left.cautions == console.cautions


@pytest.mark.parametrize(
    ("section", "name", "gone"),
    [
        ("safety", "resin", "Keep hot pans and strong"),
        ("quote", "care", "Dust with a dry cloth"),
        ("quote", "payments", "before finishing"),
        ("quote", "options", "No shelf and no brackets"),
        ("quote", "accept", "Signature"),
        ("quote", "ready", "after your order"),
    ],
)
def test_an_empty_text_is_left_out(console: Priced, section: str, name: str, gone: str) -> None:
    """An empty sentence is not printed, and an empty heading takes what stands below it along."""
    assert gone in " ".join(pages(console))
    assert gone not in " ".join(pages(worded(console, section, **{name: ""})))


def test_a_piece_for_sale_asks_nobody_to_sign(console: Priced) -> None:
    """Without a client there is no schedule, no acceptance and no term from an order; with one there is."""
    job = replace(console.job, piece=replace(console.job.piece, basis="for sale"))
    named = " ".join(pages(replace(console, job=job)))
    nobody = replace(console, job=replace(job, client=replace(job.client, name="", address="")))
    offered = " ".join(pages(nobody))
    for words in ("Payments", "Signature", "after your order", "Prepared for"):
        assert words in named
        assert words not in offered
    assert "For sale" in offered
    assert "Total" in offered


def test_the_client_tells_which_option(console: Priced) -> None:
    """A quote with options has a line for the chosen one; a quote without has none."""
    assert "Option, if any" in pages(console)[-1]
    assert "Option, if any" not in " ".join(pages(replace(console, options=())))


@pytest.mark.parametrize("count", [2, 3, 8, 40])
def test_options_fill_what_is_left_of_a_page(console: Priced, count: int) -> None:
    """Many options start on the first page, and go on below their column heads with two at least."""
    options = tuple(
        Variant(f"variant {i}", "as described", Decimal("1000.00") + i) for i in range(1, count + 1)
    )
    made = pages(replace(console, options=options))
    assert [sum(f"variant {i} " in page for page in made) for i in range(1, count + 1)] == [1] * count
    on = [page.count("variant ") for page in made if "variant " in page]
    assert len(on) == 1 or (on[0] >= 1 and on[-1] >= 2)
    if count >= 8:
        assert "variant 1 " in made[0]


def test_months_follow_the_language_of_the_words() -> None:
    """Translated words bring months of their own language, and the file is read aloud in it."""
    translated = worded(reckoned("shop.locale=de_DE"), "quote", language="de")
    assert "1. Februar 2027" in pages(translated)[0]
    root = pypdf.PdfReader(BytesIO(quote_bytes(translated)[0])).trailer["/Root"]
    assert root["/Lang"] == "de-DE"  # type: ignore[index]
