"""A section of a job asked for question by question: each answer is judged at once, and each question can be gone back to."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any, Protocol

from quoting.costing.needs import needed
from quoting.costing.shelf import unpriced
from quoting.errors import Reading, nearest
from quoting.job.brief import Brief
from quoting.job.files import PRICE_FILE
from quoting.job.stock import PRICE_COLUMNS, read_prices
from quoting.job.text import YES_NO, Question, questions, read_answer
from quoting.measures.showing import UnitWritten, unit_shown
from quoting.pick import likely
from quoting.reading.sources import read_plain
from quoting.reading.table_edit import with_row
from quoting.runs.convert import PRICES
from quoting.runs.price_file import add_price
from quoting.trades.parts import surfaces
from quoting.values import key

BACK = "back"
NAMED = ("client",)
"""Sections whose fields do not say by themselves whose they are."""

ALWAYS = ("piece", "client")
"""Sections that are asked for in every job: no answer opens them."""

AREA = "area"
"""The field that areas are offered for, where parts have sizes."""

Judge = Callable[[str], str]
"""Says in words what is wrong with an answer; "" where nothing is."""


class Asker(Protocol):
    """Who asks: a terminal, or a test. Answers of `text` have passed `wrong`, which says in words what is wrong with one."""

    def text(self, words: str, wrong: Judge, offered: Sequence[str], now: str = "") -> str:
        """A line of text; `now` is what was said before, and stands there to be changed."""

    def choice(self, words: str, options: Sequence[str]) -> str:
        """One of a few."""

    def say(self, words: str) -> None:
        """Tell something."""


@dataclass(slots=True)
class Asking:
    """Who asks, the shop that a job is asked for, the day, and the answers that can be offered."""

    ask: Asker
    shop: Path
    today: date
    offered: dict[str, Sequence[str]]
    areas: list[str] = field(default_factory=list)

    def section(
        self,
        name: str,
        before: Mapping[str, Any],
        last: bool = False,
        only: str = "",
        more: Mapping[str, Judge] = {},
    ) -> dict[str, Any] | None:
        """Answers of a section, from its first question or its last one; or `only` one of them, with all others as they were `before`.
        What is left empty is not written. `more` judges some fields further. None where it was gone back from its first question;
        nothing where the question that opens a part was left empty.
        """
        every = questions(name)
        there = [one for one in every if only in ("", one.field)]
        found = dict(before)
        at = len(there) - 1 if last else 0
        while at < len(there):
            question = there[at]
            opens = question is every[0] and name not in ALWAYS
            said = self._answer(question, found.get(question.field), opens, more.get(question.field))
            if said == BACK:
                if at == 0:
                    return None
                at -= 1
                continue
            found.pop(question.field, None)
            if said:
                found[question.field] = read_answer(question, _unquoted(said))
            elif opens:
                return {}
            at += 1
        known = {one.field for one in every}
        ordered = {one.field: found[one.field] for one in every if one.field in found}
        return ordered | {one: value for one, value in found.items() if one not in known}

    def _answer(self, question: Question, before: Any, opens: bool, more: Judge | None) -> str:
        """An answer as it is typed; "" for none, and for what holds anyway."""
        now = said_of(before)
        words = _words(question, opens)
        if question.choices:
            first = [one for one in question.choices if one == now]
            rest = [one for one in question.choices if one != now]
            said = self.ask.choice(words, (*first, *rest, BACK))
            return "" if said == question.usual else said
        known = self.offered.get(question.listed, ())
        if question.field == AREA and self.areas:
            self.ask.say(f"  All sides of your parts: {'; '.join(self.areas)}.")
            known = [one.rpartition(": ")[2] for one in self.areas]
        wrong = partial(_wrong, question, () if question.field == AREA else known, opens, more)
        return self.ask.text(words, wrong, known, now).strip()

    def learn_areas(self, brief: Brief) -> None:
        """Areas to offer where a finish is asked for: of all parts together, and of each, in the units of the shop."""
        found = surfaces(brief.job, brief.shop, brief.tables)
        system = brief.shop.shop.units
        total = [("together", sum(area for _, area in found))] if len(found) > 1 else []
        self.areas = [
            f"{name}: {UnitWritten(*unit_shown(area, 'area', system)).text(area)}"
            for name, area in (*total, *found)
        ]

    def add_missing_prices(self, brief: Brief) -> bool:
        """Offer a row of the price file for every item that lacks one; each is shown, and written on yes. True where any was."""
        added = False
        for item, unit in unpriced(needed(brief, likely).needs, brief).items():
            asked = f'prices.csv has no "{item}". Write a row for it?'
            if self.ask.choice(asked, YES_NO) != "yes":
                continue
            price = self.ask.text(
                f"price of one {unit} (such as 12.50)", partial(_no_price, item, unit), ()
            ).strip()
            if price in ("", BACK):
                continue
            cells = {"item": item, "unit": unit, "price": price, "dated": self.today.isoformat()}
            row = _table(cells).splitlines()[-1]
            if self.ask.choice(f"Write this row into prices.csv: {row}", YES_NO) == "yes":
                add_price(self.shop, cells, read_plain(self.shop / PRICE_FILE))
                added = True
        return added


def said_of(value: Any) -> str:
    """A value of a job as it would be typed; "" for nothing."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES_NO[value]
    return f'"{value}"' if value == BACK else str(value)


def _unquoted(answer: str) -> str:
    """An answer without the quotes that tell a part called back from going back."""
    return BACK if answer == f'"{BACK}"' else answer


def _words(question: Question, opens: bool) -> str:
    """The question: the field in words, how it is written, and whether it can be left empty."""
    name = question.field.replace("_", " ")
    name = f"{question.section} {name}" if question.section in NAMED else name
    if question.choices:
        return name
    hint = f"such as {question.example}" if question.example else ""
    empty = "empty: none" if opens else "" if question.needed else "may stay empty"
    notes = [one for one in (hint, question.words, empty) if one]
    return f"{name} ({', '.join(notes)})" if notes else name


def _wrong(question: Question, known: Sequence[str], opens: bool, more: Judge | None, answer: str) -> str:
    """What is wrong with an answer, in words; "" where nothing is."""
    answer = answer.strip()
    if answer == BACK:
        return ""
    if not answer:
        return "this cannot stay empty" if question.needed and not opens else ""
    if question.listed not in ("", PRICES) and key(answer) not in map(key, known):
        return f'found "{answer}"; {nearest(key(answer), [key(one) for one in known])}'
    try:
        read_answer(question, _unquoted(answer))
    except Reading as reading:
        return f"{reading.found}; {reading.write}"
    return more(answer) if more is not None else ""


def _no_price(item: str, unit: str, answer: str) -> str:
    """What is wrong with a price of one unit, in words."""
    if answer.strip() in ("", BACK):
        return ""
    try:
        table = _table({"item": item, "unit": unit, "price": answer})
    except Reading as reading:
        return f"{reading.found}; {reading.write}"
    return next((f"{one.found}; {one.write}" for one in read_prices(table)[1]), "")


def _table(cells: Mapping[str, str]) -> str:
    """A price file of one row."""
    return with_row(f"# format = 1\n{','.join(PRICE_COLUMNS)}\n", PRICE_COLUMNS, cells)
