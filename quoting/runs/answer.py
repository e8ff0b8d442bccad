"""What can be told of a job whatever is wrong in it: the price of what can be reckoned, and every problem. Its options come on wish."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quoting.errors import Problem, Problems
from quoting.job.brief import Brief
from quoting.job.files import Files, Given, files_of
from quoting.job.starters import starter_values
from quoting.pricing.price import priced
from quoting.pricing.record import Priced
from quoting.runs.seen import Seen, Settings, Shown, seen, shown_with


@dataclass(frozen=True, slots=True)
class Answer:
    """A piece priced as far as it can be, with all that is wrong.

    `priced` is None where too little can be reckoned; it is without the parts that are `left_out`, which their problems name, and its
    warnings and cautions are those of the others. `shown` is what papers show, None where no brief could be read.
    """

    files: Files
    settings: Settings
    day: date
    brief: Brief | None
    priced: Priced | None
    problems: tuple[Problem, ...]
    left_out: tuple[str, ...]
    shown: Shown | None

    @property
    def whole(self) -> bool:
        """True where nothing is wrong, so that the price is that of the whole piece."""
        return self.priced is not None and not self.problems


@dataclass(frozen=True, slots=True)
class OptionAnswer:
    """An option of a job: the piece with it, priced as far as it can be, and what is wrong in it alone."""

    name: str
    words: str
    brief: Brief | None
    priced: Priced | None
    problems: tuple[Problem, ...]
    left_out: tuple[str, ...]


def answer(job: Given, shop: Path | None, settings: Settings, day: date) -> Answer:
    """Price a job as far as it can be, for the day that it names or else `day`. Raises nothing for what a maker got wrong."""
    files = files_of(job, shop)
    found = seen(files, settings)
    shown = shown_with(found.brief, files) if found.brief is not None else None
    result, wrong = _priced(found, shown, day)
    problems = (*found.problems, *(shown.problems if shown is not None else ()), *wrong)
    brief = found.reckoned if found.reckoned is not None else found.brief
    return Answer(files, settings, day, brief, result, problems, found.left_out, shown)


def options_of(piece: Answer) -> tuple[OptionAnswer, ...]:
    """The options of a job, each priced in its place."""
    return (
        tuple(_of_option(piece, one.name, one.words) for one in piece.brief.job.option) if piece.brief else ()
    )


def _of_option(piece: Answer, name: str, words: str) -> OptionAnswer:
    found = seen(piece.files, piece.settings, name)
    result, wrong = _priced(found, piece.shown, piece.day)
    fresh = tuple(one for one in (*found.problems, *wrong) if one not in piece.problems)
    return OptionAnswer(name, words, found.reckoned, result, fresh, found.left_out)


def _priced(found: Seen, shown: Shown | None, day: date) -> tuple[Priced | None, tuple[Problem, ...]]:
    """The price of what can be reckoned, and why there is none where rules of prices forbid it."""
    brief = found.reckoned
    if brief is None or shown is None:
        return None, ()
    try:
        return priced(brief, day, shown.words, starter_values(brief.sources[1].raw, brief.job)), ()
    except Problems as wrong:
        return None, tuple(wrong.problems)
