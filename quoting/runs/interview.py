"""A job from an interview: question by question, with the price so far after every part, into a commented job file."""

import tempfile
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from quoting.errors import Reading, nearest
from quoting.job.starters import wording
from quoting.job.text import Question, asked, job_text, questions, read_answer
from quoting.money import OWN, printed
from quoting.pricing.price import priced
from quoting.pricing.record import Priced
from quoting.runs.convert import PRICES, shop_offers
from quoting.runs.pricing import read_brief
from quoting.trades.registry import trades
from quoting.values import key, slug
from quoting.written import put

NAMED = ("client",)
"""Sections whose fields do not say by themselves whose they are."""

DONE, DELIVERY = "done", "delivery"
KEEP, AGAIN, LEAVE = "keep it", "answer again", "leave it out"
UNPRICED = "It has no price yet."
MOST_SHOWN = 5


class Asker(Protocol):
    """Who asks: a terminal, or a test. Answers of `text` have passed `wrong`, which says in words what is wrong with one."""

    def text(self, words: str, wrong: Callable[[str], str], offered: Sequence[str]) -> str:
        """A line of text."""

    def choice(self, words: str, options: Sequence[str]) -> str:
        """One of a few."""

    def say(self, words: str) -> None:
        """Tell something."""


def interview(ask: Asker, shop: Path, jobs: Path, today: date) -> Path:
    """Ask for a job, and write it into a folder after every part. Returns the file."""
    asking = _Asking(ask, shop, today, shop_offers(shop))

    def taken(title: str) -> str:
        path = _file(jobs, title)
        return f"found {path}, which is there already; give the piece another title" if path.exists() else ""

    raw: dict[str, Any] = {"format": 1, "piece": asking.answers("piece", {"title": taken})}
    target = _file(jobs, raw["piece"]["title"])
    jobs.mkdir(parents=True, exist_ok=True)
    client = asking.answers("client")
    raw |= {"client": client} if client else {}
    while (trade := asking.next(raw)) != DONE:
        raw = asking.with_section(raw, trade)
        _keep(raw, target)
    if ask.choice("Do you deliver it?", ("no, it is collected", "yes")) == "yes":
        raw = asking.with_section(raw, DELIVERY)
    _keep(raw, target)
    return target


def _file(jobs: Path, title: str) -> Path:
    return jobs / f"{slug(title) or 'job'}.toml"


def _keep(raw: Mapping[str, Any], target: Path) -> None:
    """The job so far, in its file: it is whole whenever the interview is broken off."""
    put({target: job_text(raw).encode()})


class _Asking(NamedTuple):
    """Who asks, the shop that a job is priced for, the day, and the answers that can be offered."""

    ask: Asker
    shop: Path
    today: date
    offered: Mapping[str, Sequence[str]]

    def with_section(self, raw: dict[str, Any], section: str) -> dict[str, Any]:
        """The job with one part more, or its delivery, once it has a price or is kept without; else the job as it was."""
        while True:
            answers = self.answers(section)
            tried = {**raw, section: answers if section == DELIVERY else [*raw.get(section, []), answers]}
            if self.has_price(tried):
                return tried
            decided = self.ask.choice(UNPRICED, (AGAIN, KEEP, LEAVE))
            if decided != AGAIN:
                return tried if decided == KEEP else raw

    def next(self, raw: Mapping[str, Any]) -> str:
        """The trade of the next part, or the end."""
        said = {one["said"]: name for name, one in asked().items() if name in trades()}
        there = sum(len(raw.get(name, ())) for name in said.values())
        end = "that is all" if there else "nothing yet: write the file as it is"
        return {**said, end: DONE}[self.ask.choice("What is it made of? Add", (*said, end))]

    def answers(self, section: str, more: Mapping[str, Callable[[str], str]] = {}) -> dict[str, Any]:
        """Answers of a section; what was left empty is not written. `more` judges some fields further."""
        found = {}
        for question in questions(section):
            words = _words(question)
            if question.choices:
                said = self.ask.choice(words, question.choices)
                said = "" if said == question.usual else said
            else:
                known = self.offered.get(question.listed, ())
                wrong = partial(_wrong, question, known, more.get(question.field))
                said = self.ask.text(words, wrong, known).strip()
            if said:
                found[question.field] = read_answer(question, said)
        return found

    def has_price(self, raw: Mapping[str, Any]) -> bool:
        """True where the job has a price, which is told; else what is wrong with it is. Nothing is written for that into a maker's folder."""
        with tempfile.TemporaryDirectory() as made:
            path = Path(made, "job.toml")
            path.write_text(job_text(raw), encoding="utf-8")
            brief, problems = read_brief(path, self.shop, ())
        if brief is None or problems:
            for problem in problems[:MOST_SHOWN]:
                self.ask.say(f"  {problem.at('', 0)}")
            return False
        self.ask.say(_so_far(priced(brief, self.today, wording(brief.folder, []), {})))
        return True


def _words(question: Question) -> str:
    """The question: the field in words, how it is written, and whether it can be left empty."""
    name = question.field.replace("_", " ")
    name = f"{question.section} {name}" if question.section in NAMED else name
    if question.choices:
        return name
    hint = f"such as {question.example}" if question.example else ""
    notes = [one for one in (hint, question.words, "" if question.needed else "may stay empty") if one]
    return f"{name} ({', '.join(notes)})" if notes else name


def _wrong(question: Question, known: Sequence[str], more: Callable[[str], str] | None, answer: str) -> str:
    """What is wrong with an answer, in words; "" where nothing is."""
    answer = answer.strip()
    if not answer:
        return "this cannot stay empty" if question.needed else ""
    if question.listed not in ("", PRICES) and key(answer) not in map(key, known):
        return f'found "{answer}"; {nearest(key(answer), [key(one) for one in known])}'
    try:
        read_answer(question, answer)
    except Reading as reading:
        return f"{reading.found}; {reading.write}"
    return more(answer) if more is not None else ""


def _so_far(found: Priced) -> str:
    house = found.shop.shop
    amounts = (found.cost["with_reserve"], found.chain.total)
    cost, price = (printed(one, house.currency, OWN) for one in amounts)
    hours = found.quantities["labour_hours"]
    return f"  So far: cost {cost} with {hours:.1f} h of work, price {price}."
