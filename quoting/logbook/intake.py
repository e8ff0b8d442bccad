"""From words to an entry: what each kind of entry says, every name checked against what the job knows, all problems at once."""

from collections.abc import Callable
from dataclasses import asdict, replace
from datetime import date
from functools import partial
from typing import Any

from quoting import measures
from quoting.advice import Advice
from quoting.errors import Problems, nearest, refused
from quoting.ledger.entries import Entry
from quoting.ledger.words import as_told
from quoting.logbook.plan_lines import TRIP, hour_lines, matching, used_lines
from quoting.logbook.saying import Saying, apart, count_of, day_of, hours_of, money_of, quantity_of
from quoting.logbook.targets import (
    Names,
    Reader,
    done_target,
    hours_target,
    item_target,
    machine_target,
    setback_line,
)
from quoting.reading.readers import text as clean_text
from quoting.values import key, slug

METRES_PER_MM, PASCALS_PER_KPA = 0.001, 1000.0

KINDS_OF_SHOP = ("hours", "paid", "credited", "note")


def _who(reader: Reader, usual: str = "") -> str:
    """Who did it: the one named, else whom the plan names, else the owner."""
    people, who = reader.names.people, reader.saying.who.strip()
    if who and who not in people:
        reader.unknown("who", who, people)
    return who or (usual if usual in people else "owner" if "owner" in people else people[0])


def _hours(reader: Reader) -> dict[str, object]:
    saying = reader.saying
    amount = reader.read("hours", lambda: hours_of(saying.value, saying.about))
    if saying.kind == "machine":
        return {"amount": amount, "unit": "h", **machine_target(reader)}
    target, usual = hours_target(reader, hour_lines(reader.names.lines))
    who = _who(reader, usual)
    return {"amount": amount, "unit": "h", "who": who, **target}


def _used(reader: Reader) -> dict[str, object]:
    """Something used or spoiled; its name may stand in one text with the quantity: "4.2 L laminating epoxy"."""
    there, value = used_lines(reader.names.lines), reader.saying.value
    if not (reader.saying.of or reader.saying.line):
        value, item = apart(value, [name for line in there for name in (line.item, line.part)])
        there_of_part = matching(there, item=item, part=reader.saying.part)
        part = reader.saying.part if there_of_part or not item else ""  # of a day's work on another part
        reader.saying = replace(reader.saying, of=item, part=part)
    target, lines = item_target(reader, there, "of")
    unit = lines[0].measure if lines else ""
    amount = reader.read("quantity", lambda: quantity_of(value, unit)) if unit else None
    return {"amount": amount, "unit": unit, **target}


def _paid(reader: Reader) -> dict[str, object]:
    saying, names = reader.saying, reader.names
    money = reader.read("money", lambda: money_of(saying.value, names.digits))
    if names.is_shop:
        row = saying.of.strip()
        if not row or (row not in names.spent_on and not saying.unplanned):
            reader.unknown("for", row, names.spent_on, other=True)
        return {"money": money, "item": row}
    target, lines = item_target(reader, None, "for")
    amount, unit = None, ""
    if saying.quantity and lines:
        unit = lines[0].measure
        amount = reader.read("quantity", lambda: quantity_of(saying.quantity, unit))
    elif saying.quantity:
        lacking = f'found "{saying.quantity[:40]}" of a thing that the plan lacks'
        reader.wrong("quantity", lacking, Advice("quantity_in_words"), "conflict", found=saying.quantity[:40])
    return {"money": money, "amount": amount, "unit": unit, **target}


def _measured(reader: Reader) -> dict[str, object]:
    saying = reader.saying
    part = _laminate(reader)
    if saying.kind == "temperature":
        warmth = reader.read("temperature", lambda: measures.temperature(saying.value))
        return {"part": part, "amount": warmth, "unit": "C"}
    dimension, unit, size = (
        ("length", "mm", METRES_PER_MM) if saying.kind == "measured" else ("pressure", "kPa", PASCALS_PER_KPA)
    )
    value = reader.read(saying.kind, lambda: measures.measure(saying.value, dimension) / size)
    if saying.kind == "measured" and not saying.plies:
        reader.wrong("plies", "found nothing", Advice("plies_under"), "missing")
    if saying.kind == "measured" and value == 0:
        found = saying.value[:40]
        reader.wrong("measured", f'found "{found}"', "write a thickness above zero", "zero", thickness=found)
    return {"part": part, "amount": value, "unit": unit}


def _laminate(reader: Reader) -> str:
    """The laminate that a measurement is of: the one named, or the only one."""
    laminates, part = reader.names.laminates, reader.saying.part.strip()
    if part in laminates or (not part and len(laminates) == 1):
        return part or laminates[0]
    if not laminates and reader.saying.kind == "temperature":
        return part
    if laminates:
        reader.unknown("part", part, laminates)
    else:
        found = f'found "{part[:40]}"' if part else "found no part"
        reader.wrong("part", found, "measure a piece that has a laminate", "unknown_name", name=part[:40])
    return ""


def _setback(reader: Reader) -> dict[str, object]:
    saying, names = reader.saying, reader.names
    if not slug(saying.value):
        reader.wrong("setback", "found nothing", "write what happened", "missing")
    if not saying.hours and not saying.cost:
        reader.wrong("setback", "found neither hours nor cost", Advice("hours_or_cost"), "missing")
    hours = reader.read("hours", lambda: hours_of(saying.hours, saying.about)) if saying.hours else None
    money = reader.read("cost", lambda: money_of(saying.cost, names.digits)) if saying.cost else None
    line = setback_line(names.lines, saying.value)
    return {"hours": hours, "money": money, "line": line, "who": _who(reader)}


def _trip(reader: Reader) -> dict[str, object]:
    saying, names = reader.saying, reader.names
    distance = reader.read("trip", lambda: measures.measure(saying.value, "distance"))
    hours = reader.read("hours", lambda: hours_of(saying.hours, saying.about)) if saying.hours else None
    delivery = key(saying.of) in ("", "delivery") and not saying.unplanned
    planned = delivery and bool(matching(names.lines, line=TRIP))
    return {
        "amount": distance,
        "unit": "m",
        "hours": hours,
        "line": TRIP if planned else "",
        "item": "" if planned else saying.of.strip(),
        "who": _who(reader),
    }


def _received(reader: Reader) -> dict[str, object]:
    saying, names = reader.saying, reader.names
    money = reader.read("money", lambda: money_of(saying.value, names.digits))
    name = saying.of.strip()
    found = next((one for one in names.payments if key(one) == key(name)), "")
    if name and not found:
        reader.unknown("for", name, names.payments)
    return {"money": money, "stage": found}


def _note(reader: Reader) -> dict[str, object]:
    words = reader.read("note", lambda: clean_text(reader.saying.value))
    if not words:
        reader.wrong("note", "found nothing", "write the note in quotes", "empty")
    return {"words": words, "said": ""}


BY_KIND: dict[str, Callable[[Reader], dict[str, object]]] = {
    "hours": _hours, "machine": _hours, "used": _used, "spoiled": _used, "paid": _paid, "credited": _paid,
    "measured": _measured, "vacuum": _measured, "temperature": _measured, "setback": _setback, "trip": _trip,
    "received": _received, "refunded": _received, "done": done_target, "note": _note,
}  # fmt: skip


def entry_of(saying: Saying, names: Names, today: date, piece: int | None, quote: int | None) -> Entry:
    """The entry that a saying stands for. Raises Problems with everything that is wrong in it."""
    kinds = KINDS_OF_SHOP if names.is_shop else tuple(BY_KIND)
    if saying.kind not in kinds:
        meant, _ = as_told(saying.kind, "")
        raise refused(
            "kind",
            f'found "{saying.kind[:40]}"',
            nearest(meant, kinds),
            code="unknown_name",
            name=saying.kind[:40],
        )
    reader = Reader(saying.placed(), names, today)
    if reader.saying.what:
        reader.wrong(
            "what",
            f'found "{reader.saying.what[:40]}" beside another name',
            "write it once",
            "twice",
            what=reader.saying.what[:40],
        )
    for name, text in asdict(reader.saying).items():
        if isinstance(text, str):
            reader.read(name, partial(clean_text, text))
    if reader.problems:
        raise Problems(reader.problems)
    common = _common(reader)
    found: dict[str, Any] = common | BY_KIND[saying.kind](reader)
    if reader.problems:
        raise Problems(reader.problems)
    return Entry(kind=saying.kind, piece=piece, quote=quote, digits=names.digits, **found)


def _common(reader: Reader) -> dict[str, object]:
    saying = reader.saying
    found: dict[str, object] = {
        "day": reader.read("on", lambda: day_of(saying.on, reader.today)),
        "words": reader.read("words", lambda: clean_text(saying.words)),
        "receipt": reader.read("receipt", lambda: clean_text(saying.receipt)),
        "about": saying.about,
        "said": saying.value.strip(),
    }
    if saying.round:
        found["round"] = reader.read("round", lambda: count_of(saying.round, 1))
    if saying.plies:
        found["plies"] = reader.read("plies", lambda: count_of(saying.plies, 0))
    return found
