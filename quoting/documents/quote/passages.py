"""What the client reads besides figures: what is included, what it is made of, terms, care, safety."""

import math
from collections.abc import Iterator
from typing import NamedTuple

from quoting import measures
from quoting.declaration import COATING, FINISH
from quoting.documents.paper.text import QuoteText
from quoting.job.job import Job
from quoting.pricing.record import Priced
from quoting.trades.parts import parts
from quoting.trades.registry import trades


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
    """Field, part, material in the client's words, and who brings it; what lies on the surface last."""
    found = [(trades()[trade], part) for trade, part in parts(job) if trades()[trade].material]
    for trade, part in sorted(found, key=lambda one: one[0].chain in (COATING, FINISH)):
        how, _, name = trade.material.partition(":")
        words = name if how == "word" else getattr(part, name)
        material = words if how == "field" else text.label(words)
        yield f"{trade.name}.{part.id}", part.part, material, part.supplied


def _safety(priced: Priced, text: QuoteText) -> Iterator[str]:
    """Notes by what the piece holds, but for those its job leaves out; a heavy piece tells its mass, rounded up."""
    shop, words = priced.shop, priced.wording["safety"]
    called = {name for name, _ in priced.cautions} - set(priced.job.quote.leave_out)
    pound_or_kg = measures.unit("lb" if shop.shop.units == "inch" else "kg").factor
    whole = math.ceil(priced.quantities["mass_kg"] / pound_or_kg) * pound_or_kg
    for name in words:
        if name in called:
            note = text.ink(f"wording.safety.{name}", words[name])
            yield note.replace("{mass}", text.measure(whole, "mass"))
