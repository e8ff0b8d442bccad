"""A job from an interview: question by question, with the price so far after every part, into a commented job file."""

import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from quoting.job.starters import wording
from quoting.job.text import asked, job_text
from quoting.money import OWN, printed
from quoting.pricing.price import priced
from quoting.pricing.record import Priced
from quoting.runs.asking import BACK, Asker, Asking, said_of
from quoting.runs.convert import shop_offers
from quoting.runs.pricing import read_brief
from quoting.trades.registry import trades
from quoting.values import slug
from quoting.written import put

DONE, DELIVERY = "done", "delivery"
COLLECTED = "no, it is collected"
KEEP, AGAIN, LEAVE = "keep it", "answer again", "leave it out"
UNPRICED = "It has no price yet."
MADE_OF = "What is it made of? Add"
DELIVER = "Do you deliver it?"
ADD = "add"
CHANGE = "number to change"
HOW = 'Enter leaves a question empty, back goes to the one before (a part of that name: "back", with its quotes).'
REVIEW = f"{CHANGE} (Enter: it is right as it is; {ADD}: one more part)"
MOST_SHOWN = 5

Place = tuple[str, int | None, str]
"""A section, the position of an entry in it, and a field; "" for all of its fields."""


def interview(ask: Asker, shop: Path, jobs: Path, today: date) -> Path:
    """Ask for a job, and write it into a folder after every part. Returns the file."""
    asking = Asking(ask, shop, today, dict(shop_offers(shop)))
    ask.say(HOW)
    return _Interview(asking, jobs).held()


@dataclass(slots=True)
class _Interview:
    """A job as far as it was answered, and the file that it stands in; `order` is that in which parts were added."""

    asking: Asking
    jobs: Path
    raw: dict[str, Any] = field(default_factory=lambda: {"format": 1})
    target: Path | None = None
    order: list[str] = field(default_factory=list)

    def held(self) -> Path:
        """Go through all steps, forwards and back."""
        steps = (self.piece, self.client, self.parts, self.delivery, self.review)
        at, back = 0, False
        while at < len(steps):
            on = steps[at](back)
            at, back = (at + 1, False) if on else (max(at - 1, 0), at > 0)
        return self.keep()

    def piece(self, back: bool) -> bool:
        """The piece itself; its title names the file."""
        return self.head("piece", back)

    def client(self, back: bool) -> bool:
        """Whom it is for."""
        return self.head("client", back)

    def head(self, section: str, back: bool, only: str = "") -> bool:
        """A section that there is one of; where nothing is said, it is not written."""
        found = self.asking.section(section, self.raw.get(section, {}), back, only, {"title": self.taken})
        if found is None:
            return False
        self.raw = {**self.raw, section: found} if found else _without(self.raw, section)
        return True

    def taken(self, title: str) -> str:
        """What is wrong with a title whose file is there already."""
        path = _file(self.jobs, title)
        there = path.exists() and path != self.target
        return f"found {path}, which is there already; give the piece another title" if there else ""

    def parts(self, back: bool) -> bool:  # noqa: ARG002 a step like others: it begins with its list either way
        """Parts, one after another; back leads into the last one."""
        while True:
            said = {one["said"]: name for name, one in asked().items() if name in trades()}
            end = "that is all" if self.order else "nothing yet: go on without a part"
            chosen = {end: DONE, **said, BACK: BACK}[self.asking.ask.choice(MADE_OF, (end, *said, BACK))]
            if chosen == DONE:
                return True
            if chosen == BACK:
                if not self.order:
                    return False
                trade = self.order[-1]
                self.part(trade, len(self.raw[trade]) - 1, last=True)
            else:
                self.part(chosen, None)
            self.keep()

    def part(self, trade: str, index: int | None, last: bool = False, only: str = "") -> None:
        """A new part, or one that is answered again: it is in the job once it has a price, or is kept without."""
        before = self.raw[trade][index] if index is not None else {}
        while True:
            found = self.asking.section(trade, before, last, only)
            if found is None or (index is None and not found):
                return
            there = list(self.raw.get(trade, ()))
            at = len(there) if index is None else index
            there[at : at + 1] = [found] if found else []
            tried = {**self.raw, trade: there} if there else _without(self.raw, trade)
            if not found or self.settled(tried):
                self.order += [trade] if index is None else []
                if not found:
                    self.order.remove(trade)
                self.raw = tried
                return
            decided = self.asking.ask.choice(UNPRICED, (AGAIN, KEEP, LEAVE))
            if decided != AGAIN:
                self.order += [trade] if index is None and decided == KEEP else []
                self.raw = tried if decided == KEEP else self.raw
                return
            before = found

    def delivery(self, back: bool) -> bool:  # noqa: ARG002
        """How it travels."""
        while True:
            said = self.asking.ask.choice(DELIVER, (COLLECTED, "yes", BACK))
            if said == BACK:
                return False
            if said == COLLECTED:
                self.raw = _without(self.raw, DELIVERY)
                return True
            if self.trip(""):
                return True

    def trip(self, only: str) -> bool:
        """What is asked of a delivery; False where it was gone back from, or nothing was said."""
        before = self.raw.get(DELIVERY, {})
        while found := self.asking.section(DELIVERY, before, only=only):
            tried = {**self.raw, DELIVERY: found}
            decided = KEEP if self.settled(tried) else self.asking.ask.choice(UNPRICED, (AGAIN, KEEP, LEAVE))
            if decided != AGAIN:
                self.raw = tried if decided == KEEP else self.raw
                return True
            before = found
        return False

    def review(self, back: bool) -> bool:  # noqa: ARG002
        """All that was said, by numbers, until nothing is to be changed any more."""
        while True:
            self.keep()
            lines = list(_lines(self.raw))
            for number, (_, words) in enumerate(lines, start=1):
                self.asking.ask.say(f"{number:>4}  {words}")
            said = self.asking.ask.text(REVIEW, partial(_no_number, len(lines)), ()).strip()
            if said in ("", BACK):
                return not said
            if said == ADD:
                self.parts(back=False)
            else:
                self.change(*lines[int(said) - 1][0])

    def change(self, section: str, index: int | None, only: str) -> None:
        """Ask again for a field, or for all of an entry."""
        if index is not None:
            self.part(section, index, only=only)
        elif section == DELIVERY:
            self.trip(only)
        else:
            self.head(section, back=False, only=only)

    def settled(self, raw: dict[str, Any]) -> bool:
        """True where a job has a price, which is told, once the rows are written that the price file lacks; else what is wrong with it is.
        Nothing is written for that into a maker's folder.
        """
        with tempfile.TemporaryDirectory() as made:
            path = Path(made, "job.toml")
            path.write_text(job_text(raw), encoding="utf-8")
            brief, problems = read_brief(path, self.asking.shop, ())
        lacking = bool(problems) and all(one.code == "no_price" for one in problems)
        if brief is not None and lacking and self.asking.add_missing_prices(brief):
            return self.settled(raw)
        if brief is None or problems:
            for problem in problems[:MOST_SHOWN]:
                self.asking.ask.say(f"  {problem.at('', 0)}")
            return False
        self.asking.learn_areas(brief)
        self.asking.ask.say(_so_far(priced(brief, self.asking.today, wording(brief.folder, []), {})))
        return True

    def keep(self) -> Path:
        """The job so far, in its file: it is whole whenever the interview is broken off. A new title gives it a new name."""
        path = _file(self.jobs, self.raw["piece"]["title"])
        self.jobs.mkdir(parents=True, exist_ok=True)
        put({path: job_text(self.raw).encode()})
        if self.target not in (None, path):
            self.target.unlink(missing_ok=True)
        self.target = path
        return path


def _file(jobs: Path, title: str) -> Path:
    return jobs / f"{slug(title) or 'job'}.toml"


def _without(raw: Mapping[str, Any], section: str) -> dict[str, Any]:
    return {name: one for name, one in raw.items() if name != section}


def _lines(raw: Mapping[str, Any]) -> Iterator[tuple[Place, str]]:
    """Every entry and every answer of a job, with its place."""
    for section, value in raw.items():
        if section not in asked():
            continue
        for i, entry in enumerate(value) if isinstance(value, list) else [(None, value)]:
            yield (section, i, ""), asked()[section]["said"]
            for name, said in entry.items():
                yield (section, i, name), f"  {name.replace('_', ' ')}: {said_of(said)}"


def _no_number(most: int, answer: str) -> str:
    """What is wrong with a choice from the list, in words."""
    answer = answer.strip()
    fits = answer in ("", BACK, ADD) or (answer.isdecimal() and 1 <= int(answer) <= most)
    return "" if fits else f'found "{answer}"; write a number from 1 to {most}'


def _so_far(found: Priced) -> str:
    house = found.shop.shop
    amounts = (found.cost["with_reserve"], found.chain.total)
    cost, price = (printed(one, house.currency, OWN) for one in amounts)
    hours = found.quantities["labour_hours"]
    return f"  So far: cost {cost} with {hours:.1f} h of work, price {price}."
