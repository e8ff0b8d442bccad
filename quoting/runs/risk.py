"""How sure a price is, and versions of a job side by side."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.advice import Advice, argument
from quoting.costing.model import cost
from quoting.errors import Problem, Problems, refuse, refused
from quoting.job.brief import SOURCE, Brief
from quoting.job.files import Given, called
from quoting.job.job import Option
from quoting.job.rules import draws_rule
from quoting.pick import likely
from quoting.pricing.compare import Answer, Row, Version, answers, rows
from quoting.pricing.outlook import Outlook, outlook_of, refuse_clipped
from quoting.pricing.record import Priced
from quoting.risk.drawn import drawn, seed_and_draws
from quoting.runs.pricing import Tell, check, priced_alone, with_options
from quoting.runs.seen import Settings
from quoting.written import write_all

COLUMN = Advice("columns")
BETWEEN = ";"
"""Stands between several values of one column."""
AS_IT_IS = "as it is"


class Risk(NamedTuple):
    """A price, how sure it is, and the pictures that were written."""

    priced: Priced
    outlook: Outlook
    written: list[Path]


def risk(
    job: Given,
    shop: Path | None,
    today: date,
    settings: Settings,
    draws: int | None,
    seed: int | None,
    out: Path | None,
    overwrite: bool,
    step: Tell,
) -> Risk:
    """Price a job and draw it. `draws` and `seed` else as job and shop say; pictures are written into `out`."""
    refuse_draws(draws, seed)
    step("pricing")
    checked = check(job, shop, today, settings, with_options=False)
    priced = priced_alone(checked)
    found = outlook_of(checked.brief, priced, draws, seed, lambda made: step(f"drawing, {made} builds done"))
    written = []
    if out is not None:
        from quoting.documents.pictures.price import risk_picture
        from quoting.documents.pictures.writers import files_of

        files = files_of(f"{called(job).name} risk", risk_picture(priced, found))
        written = write_all(out, files, called(job).origin, overwrite)
    return Risk(priced, found, written)


def refuse_draws(draws: int | None, seed: int | None) -> None:
    """Raise Problems for a number of draws, or a seed, that cannot be drawn with."""
    wrong = list(draws_rule(argument("draws"), draws))
    if seed is not None and seed < 0:
        words = f"found {seed}", "write a whole number, 0 or more"
        wrong.append(Problem.of(argument("seed"), *words, "out_of_range", found=seed, least=0))
    refuse(wrong)


class Compared(NamedTuple):
    """Versions, their figures, and for each version what its difference from the first answers."""

    versions: tuple[Version, ...]
    rows: list[Row]
    answers: tuple[list[Answer], ...]
    seed: int


def compare(
    jobs: Sequence[Given], shop: Path | None, today: date, settings: Settings, columns: Sequence[str]
) -> Compared:
    """The versions of one job, each option and each of `columns` ("path=value; path=value"), or several jobs.

    All are drawn with the seed and number of draws of the first, so that what they share moves them alike.
    """
    if len(jobs) > 1 and columns:
        raise refused(COLUMN, "found several jobs", "name one job, or leave it out", code="conflict")
    found: list[tuple[str, tuple[str, ...], Brief, Priced]] = []
    for job in jobs:
        checked = check(job, shop, today, settings)
        priced, options = with_options(checked)
        name = AS_IT_IS if len(jobs) == 1 else called(job).name
        found.append((name, (), checked.brief, priced))
        if len(jobs) == 1:
            for one in checked.brief.job.option:
                found.append((one.name, _changes(one), checked.options[one.name], options[one.name]))
    for column in columns:
        tried = [one.strip() for one in column.split(BETWEEN) if one.strip()]
        if not tried:
            raise refused(COLUMN, f'found "{column}"', "write path=value", code="unreadable", found=column)
        try:
            checked = check(jobs[0], shop, today, [*settings, *tried], with_options=False)
        except Problems as wrong:  # one of a value that was tried is told of the option that holds it
            told = [one.at(COLUMN, 0) if one.file == SOURCE else one for one in wrong.problems]
            raise Problems(told) from None
        found.append((column.strip(), tuple(tried), checked.brief, priced_alone(checked)))
    if len(found) < 2:
        wanted = Advice("options_or_columns")
        raise refused("", "found one version, and nothing to compare it with", wanted, code="missing")
    currencies = {priced.currency for _, _, _, priced in found}
    if len(currencies) > 1:
        listed = " and ".join(sorted(currencies))
        raise refused(
            "",
            f"found prices in {listed}",
            "name jobs of one currency",
            code="conflict",
            currencies=currencies,
        )
    seed, count = seed_and_draws(found[0][2])
    versions: list[Version] = []
    for name, changes, brief, priced in found:
        run = drawn(brief, seed, count)
        refuse_clipped(brief, run.clipped)
        versions.append(Version(name, changes, brief, priced, run, float(cost(brief, likely).scrap)))
    answered = tuple(list(answers(versions[0], one)) if len(jobs) == 1 else [] for one in versions)
    return Compared(tuple(versions), rows(versions), answered, seed)


def _changes(option: Option) -> tuple[str, ...]:
    """What an option changes, as it is written."""
    changes = [f"{path} = {value}" for path, value in option.set.items()]
    for part in option.add:
        name = next((part[key] for key in ("id", "part", "task", "item", "what") if key in part), "")
        changes.append(f"with {part.get('trade', 'a part')} {name}".rstrip())
    return (*changes, *(f"without {path}" for path in option.drop))
