"""What the client reads besides figures: what is included, what it is made of, terms, care, safety."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from quoting import measures

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.documents.paper.text import QuoteText
    from quoting.job.job import Job
    from quoting.pricing.record import Priced


class Passage(NamedTuple):
    """A heading and its paragraphs, or its list."""

    heading: str
    words: tuple[str, ...]
    listed: bool = False


def passages(priced: Priced, text: QuoteText) -> Iterator[Passage]:
    """Lists first, then what is to be read once; nothing for what the job leaves empty."""
    job, ink = priced.job, text.ink
    found = [
        Passage(text.label(name), tuple(ink(f"piece.{name}", item) for item in items), listed=True)
        for name, items in (("included", job.piece.included), ("not_included", job.piece.not_included))
    ]
    found += [
        Passage(text.label("materials"), tuple(_materials(job, text)), listed=True),
        Passage(text.label("notes"), (ink("quote.notes", job.quote.notes),)),
        Passage(text.label("terms"), (ink("terms.words", priced.shop.terms.words),)),
        Passage(text.label("care"), (ink("piece.care", job.piece.care),)),
        Passage(text.label("safety"), tuple(_safety(priced, text))),
    ]
    for passage in found:
        words = tuple(word for word in passage.words if word)
        if words and passage.heading:
            yield passage._replace(words=words)


def _materials(job: Job, text: QuoteText) -> Iterator[str]:
    """Each material once, with the parts it makes: no sizes, no amounts, nobody's price.

    A part that is called as its material is (oil of hard wax oil) is not told twice.
    """
    made_of: dict[str, dict[str, None]] = {}
    for field, part, material, supplied in _parts(job, text):
        name = text.ink(field, material)
        if supplied == "client":
            name = text.label("from_client", material=name)
        parts = made_of.setdefault(name, {})
        if not set(part.casefold().split()) <= set(name.casefold().split()):
            parts[text.ink(f"{field}.part", part)] = None
    for name, parts in made_of.items():
        yield f"{name[:1].upper()}{name[1:]}" + (f": {', '.join(parts)}" if parts else "")


def _parts(job: Job, text: QuoteText) -> Iterator[tuple[str, str, str, str]]:
    """Field, part, material in the client's words, and who brings it."""
    for wood in job.hardwood:
        yield f"hardwood.{wood.id}", wood.part, wood.species, wood.supplied
    for sheet in job.sheet:
        yield f"sheet.{sheet.id}", sheet.part, sheet.item, sheet.supplied
    for panel in job.laminate:
        yield f"laminate.{panel.id}", panel.part, text.label("laminate"), panel.supplied
    for cast in job.casting:
        yield f"casting.{cast.id}", cast.part, text.label("casting"), cast.supplied
    for pane in job.glass:
        yield f"glass.{pane.id}", pane.part, text.label(pane.treatment), pane.supplied
    for metal in job.metal:
        yield f"metal.{metal.id}", metal.part, metal.metal, metal.supplied
    for coat in job.coating:
        yield f"coating.{coat.id}", coat.part, text.label("coating"), coat.supplied
    for finish in job.finish:
        yield f"finish.{finish.id}", finish.part, finish.product, finish.supplied


def _safety(priced: Priced, text: QuoteText) -> Iterator[str]:
    """Notes by what the piece holds, but for those its job leaves out; a heavy piece tells its mass, rounded up."""
    shop, words = priced.shop, priced.wording["safety"]
    called = {name for name, _ in priced.cautions} - set(priced.job.quote.leave_out)
    pound_or_kg = measures.unit("lb" if shop.shop.units == "inch" else "kg").factor
    whole = math.ceil(priced.quantities["mass_kg"] / pound_or_kg) * pound_or_kg
    for name in ("glass", "tip_over", "resin", "lifting"):
        if name in called:
            note = text.ink(f"wording.safety.{name}", words[name])
            yield note.replace("{mass}", text.measure(whole, "mass"))
