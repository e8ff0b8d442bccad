"""A job from an interview: question by question, with the price so far after every part, into a commented job file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Protocol

from quoting.errors import Problem, Problems, Reading
from quoting.inputs.job_text import job_text
from quoting.inputs.load import load_shop
from quoting.inputs.questions import asked, questions, read_answer
from quoting.inputs.tables import tables
from quoting.inputs.wording import wording
from quoting.money import printed
from quoting.pricing.price import priced
from quoting.runs.pricing import read_brief
from quoting.values import slug
from quoting.written import put

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from datetime import date
    from pathlib import Path

    from quoting.inputs.brief import Brief
    from quoting.inputs.questions import Question
    from quoting.pricing.record import Priced

HEAD = ("piece", "client")
PARTS = tuple(name for name in asked() if name not in (*HEAD, "delivery"))
DONE = "done"
KEEP, AGAIN, LEAVE = "keep it", "answer again", "leave it out"
UNPRICED = "There is no price so."
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
    """Ask for a job, and write it into a folder after every part. Returns the file. Raises Problems where one of that name is there."""
    brief = load_shop(shop)
    offered = _offers(brief)
    raw: dict[str, Any] = {"format": 1, "piece": _answers("piece", ask, offered)}
    target = jobs / f"{slug(raw['piece']['title']) or 'job'}.toml"
    if target.exists():
        raise Problems(
            [Problem("", f"found {target}, which is there already", "give the piece another title")]
        )
    jobs.mkdir(parents=True, exist_ok=True)
    client = _answers("client", ask, offered)
    raw |= {"client": client} if client else {}
    while (trade := _next(ask, raw)) != DONE:
        decided = AGAIN
        while decided == AGAIN:
            tried = {**raw, trade: [*raw.get(trade, []), _answers(trade, ask, offered)]}
            has_price = _told(tried, target, shop, today, ask)
            decided = KEEP if has_price else ask.choice(UNPRICED, (AGAIN, KEEP, LEAVE))
        raw = tried if decided == KEEP else raw
        put({target: job_text(raw).encode()})
    if ask.choice("Do you deliver it?", ("no, it is collected", "yes")) == "yes":
        raw["delivery"] = _answers("delivery", ask, offered)
    _told(raw, target, shop, today, ask)
    return target


def _next(ask: Asker, raw: Mapping[str, Any]) -> str:
    """The trade of the next part, or the end."""
    said = {asked()[name]["said"]: name for name in PARTS}
    there = sum(len(raw.get(name, ())) for name in PARTS)
    end = "that is all" if there else "nothing yet: write the file as it is"
    return {**said, end: DONE}[
        ask.choice("What is it made of? Add", (*said, end) if not there else (end, *said))
    ]


def _answers(section: str, ask: Asker, offered: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    """Answers of a section; what was left empty is not written."""
    found = {}
    for question in questions(section):
        if question.choices:
            said = ask.choice(_words(question), question.choices)
            said = "" if said == question.usual else said
        else:
            said = ask.text(_words(question), _judge(question), offered.get(question.listed, ())).strip()
        if said:
            found[question.field] = read_answer(question, said)
    return found


def _words(question: Question) -> str:
    """The question: the field in words, how it is written, and whether it can be left empty."""
    name = question.field.replace("_", " ")
    hint = f"such as {question.example}" if not question.choices else ""
    notes = ", ".join(
        one for one in (hint, question.words, "" if question.needed else "may stay empty") if one
    )
    return f"{name} ({notes})" if notes and not question.choices else name


def _judge(question: Question) -> Callable[[str], str]:
    def wrong(answer: str) -> str:
        if not answer.strip():
            return "this cannot stay empty" if question.needed else ""
        try:
            read_answer(question, answer.strip())
        except Reading as reading:
            return f"{reading.found}; {reading.write}"
        return ""

    return wrong


def _offers(brief: Brief) -> dict[str, list[str]]:
    """Answers that are offered, by where they come from."""
    found = tables()
    return {
        "species": sorted({one.name for one in brief.tables.species.values()}),
        "fibres": sorted(found.fibres),
        "metals": sorted(found.metals),
        "prices": sorted({row.item for rows in brief.book.values() for row in rows}),
        "resin": sorted(brief.shop.resin),
        "machine": sorted(brief.shop.machine),
    }


def _told(raw: Mapping[str, Any], target: Path, shop: Path, today: date, ask: Asker) -> bool:
    """The job written and priced: what it comes to so far is said, or what is wrong with it. True where it has a price."""
    put({target: job_text(raw).encode()})
    brief, problems = read_brief(target, shop, ())
    if brief is None or problems:
        for problem in problems[:MOST_SHOWN]:
            ask.say(f"  {problem}")
        return False
    ask.say(_so_far(priced(brief, today, wording(brief.folder, []), {})))
    return True


def _so_far(found: Priced) -> str:
    house = found.shop.shop
    cost, price = (
        printed(one, house.currency, house.locale) for one in (found.cost["with_reserve"], found.chain.total)
    )
    hours = found.quantities["labour_hours"]
    return f"  So far: cost {cost} with {hours:.1f} h of work, price {price}."
