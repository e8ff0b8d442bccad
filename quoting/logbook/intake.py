"""From words to an entry: what each kind of entry says, every name checked against what the job knows, all problems at once."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from quoting import measures
from quoting.errors import Problem, Problems, nearest
from quoting.ledger.entries import Entry
from quoting.logbook.names import TRIP, hour_lines, matching, used_lines
from quoting.logbook.saying import Reader, apart, count_of, day_of, hours_of, money_of, quantity_of, texts_of
from quoting.logbook.targets import done_target, hours_target, item_target, machine_target, setback_line
from quoting.reading.fields import text as clean_text
from quoting.values import key, slug

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from quoting.logbook.names import Known
    from quoting.logbook.saying import Said


METRES_PER_MM, PASCALS_PER_KPA = 0.001, 1000.0


KINDS_OF_PIECE = (
    "hours", "machine", "used", "wasted", "paid", "credited", "measured", "vacuum", "temperature", "setback", "trip",
    "received", "refunded", "done", "note",
)  # fmt: skip
KINDS_OF_SHOP = ("hours", "paid", "credited", "note")


def _who(reader: Reader, usual: str = "") -> str:
    """Who did it: the one named, else whom the plan names, else the owner."""
    known, who = reader.known.people, reader.said.who.strip()
    if who and who not in known:
        reader.wrong("who", f'found "{who[:40]}"', nearest(who, known))
    return who or (usual if usual in known else "owner" if "owner" in known else known[0])


def _hours(reader: Reader) -> dict[str, object]:
    said = reader.said
    amount = reader.read("hours", lambda: hours_of(said.value, said.about))
    if said.kind == "machine":
        return {"amount": amount, "unit": "h", **machine_target(reader)}
    target, usual = hours_target(reader, hour_lines(reader.known.lines))
    who = _who(reader, usual)
    return {"amount": amount, "unit": "h", "who": who, **target}


def _used(reader: Reader) -> dict[str, object]:
    """Something used or spoiled; its name may stand in one text with the quantity: "4.2 L laminating epoxy"."""
    there, value = used_lines(reader.known.lines), reader.said.value
    if not (reader.said.of or reader.said.line):
        value, item = apart(value, [name for line in there for name in (line.item, line.part)])
        there_of_part = matching(there, item=item, part=reader.said.part)
        part = reader.said.part if there_of_part or not item else ""  # of a day's work on another part
        reader.said = replace(reader.said, of=item, part=part)
    target, lines = item_target(reader, there, "of")
    unit = lines[0].measure if lines else ""
    amount = reader.read("quantity", lambda: quantity_of(value, unit)) if unit else None
    return {"amount": amount, "unit": unit, **target}


def _paid(reader: Reader) -> dict[str, object]:
    said, known = reader.said, reader.known
    money = reader.read("money", lambda: money_of(said.value, known.digits))
    if known.is_shop:
        row = said.of.strip()
        if not row or (row not in known.spent_on and not said.unplanned):
            advice = nearest(row, known.spent_on) + ", or --unplanned for another thing"
            reader.wrong("for", f'found "{row[:40]}"' if row else "found nothing", advice)
        return {"money": money, "item": row}
    target, lines = item_target(reader, None, "for")
    amount, unit = None, ""
    if said.quantity and lines:
        unit = lines[0].measure
        amount = reader.read("quantity", lambda: quantity_of(said.quantity, unit))
    elif said.quantity:
        reader.wrong(
            "quantity", f'found "{said.quantity[:40]}" of a thing that the plan lacks', "write it in --words"
        )
    return {"money": money, "amount": amount, "unit": unit, **target}


def _measured(reader: Reader) -> dict[str, object]:
    said = reader.said
    found: dict[str, object] = {"part": _laminate(reader)}
    if said.kind == "temperature":
        return {
            **found,
            "amount": reader.read("temperature", lambda: measures.temperature(said.value)),
            "unit": "C",
        }
    dimension, unit, size = (
        ("length", "mm", METRES_PER_MM) if said.kind == "measured" else ("pressure", "kPa", PASCALS_PER_KPA)
    )
    value = reader.read(said.kind, lambda: measures.measure(said.value, dimension) / size)
    if said.kind == "measured" and not said.plies:
        reader.wrong("plies", "found nothing", "write how many plies lie under this thickness: --plies 12")
    if said.kind == "measured" and value == 0:
        reader.wrong("measured", f'found "{said.value[:40]}"', "write a thickness above zero")
    return {**found, "amount": value, "unit": unit}


def _laminate(reader: Reader) -> str:
    """The laminate that a measurement is of: the one named, or the only one."""
    known, part = reader.known.laminates, reader.said.part.strip()
    if part in known or (not part and len(known) == 1):
        return part or known[0]
    if not known and reader.said.kind == "temperature":
        return part
    found = f'found "{part[:40]}"' if part else "found no part"
    reader.wrong("part", found, nearest(part, known) if known else "measure a piece that has a laminate")
    return ""


def _setback(reader: Reader) -> dict[str, object]:
    said, known = reader.said, reader.known
    if not slug(said.value):
        reader.wrong("setback", "found nothing", "write what happened")
    if not said.hours and not said.cost:
        reader.wrong("setback", "found neither hours nor cost", "write --hours, --cost, or both")
    hours = reader.read("hours", lambda: hours_of(said.hours, said.about)) if said.hours else None
    money = reader.read("cost", lambda: money_of(said.cost, known.digits)) if said.cost else None
    line = setback_line(known.lines, said.value)
    return {"hours": hours, "money": money, "line": line, "who": _who(reader)}


def _trip(reader: Reader) -> dict[str, object]:
    said, known = reader.said, reader.known
    distance = reader.read("trip", lambda: measures.measure(said.value, "distance"))
    hours = reader.read("hours", lambda: hours_of(said.hours, said.about)) if said.hours else None
    delivery = key(said.of) in ("", "delivery") and not said.unplanned
    planned = delivery and bool(matching(known.lines, line=TRIP))
    return {
        "amount": distance,
        "unit": "m",
        "hours": hours,
        "line": TRIP if planned else "",
        "item": "" if planned else said.of.strip(),
        "who": _who(reader),
    }


def _received(reader: Reader) -> dict[str, object]:
    said, known = reader.said, reader.known
    money = reader.read("money", lambda: money_of(said.value, known.digits))
    name = said.of.strip()
    found = next((one for one in known.payments if key(one) == key(name)), "")
    if name and not found:
        reader.wrong("for", f'found "{name[:40]}"', nearest(name, known.payments))
    return {"money": money, "stage": found}


def _done(reader: Reader) -> dict[str, object]:
    return done_target(reader)


def _note(reader: Reader) -> dict[str, object]:
    words = reader.read("note", lambda: clean_text(reader.said.value))
    if not words:
        reader.wrong("note", "found nothing", "write the note in quotes")
    return {"words": words, "said": ""}


BY_KIND: dict[str, Callable[[Reader], dict[str, object]]] = {
    "hours": _hours, "machine": _hours, "used": _used, "wasted": _used, "paid": _paid, "credited": _paid,
    "measured": _measured, "vacuum": _measured, "temperature": _measured, "setback": _setback, "trip": _trip,
    "received": _received, "refunded": _received, "done": _done, "note": _note,
}  # fmt: skip


def entry_of(said: Said, known: Known, today: date, piece: int | None, quote: int | None) -> Entry:
    """The entry that a saying stands for. Raises Problems with everything that is wrong in it."""
    kinds = KINDS_OF_SHOP if known.is_shop else KINDS_OF_PIECE
    if said.kind not in kinds:
        raise Problems([Problem("kind", f'found "{said.kind[:40]}"', nearest(said.kind, kinds))])
    reader = Reader(said.placed(), known, today)
    if reader.said.what:
        reader.wrong("what", f'found "{reader.said.what[:40]}" beside another name', "write it once")
    for name, text in texts_of(reader.said).items():
        reader.read(name, partial(clean_text, text))
    if reader.problems:
        raise Problems(reader.problems)
    common = _common(reader)
    own = BY_KIND[said.kind](reader)
    if reader.problems:
        raise Problems(reader.problems)
    own_and_common: dict[str, Any] = {**common, **own}
    return Entry(kind=said.kind, piece=piece, quote=quote, digits=known.digits, **own_and_common)


def _common(reader: Reader) -> dict[str, object]:
    said = reader.said
    found: dict[str, object] = {
        "day": reader.read("on", lambda: day_of(said.on, reader.today)),
        "words": reader.read("words", lambda: clean_text(said.words)),
        "receipt": reader.read("receipt", lambda: clean_text(said.receipt)),
        "about": said.about,
        "said": said.value.strip(),
    }
    if said.round:
        found["round"] = reader.read("round", lambda: count_of(said.round, 1))
    if said.plies:
        found["plies"] = reader.read("plies", lambda: count_of(said.plies, 0))
    return found
