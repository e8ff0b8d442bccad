"""The command that sets versions side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.planned import compare_data
from quoting.cli.app import Answer, Details, Json, Settings, Shop, arg, command, same, this_day
from quoting.cli.shape import answer, clause, part
from quoting.cli.terminal import about, aside, block, blocks, bold, money, row, styled, width, wrapped
from quoting.errors import one_line
from quoting.measures import DIMENSIONS, shown
from quoting.measures.showing import per_cent

if TYPE_CHECKING:
    from quoting.pricing.compare import Row, Version
    from quoting.runs.risk import Compared

LABEL, COLUMN, MOST_TOLD = 24, 18, 4
MARK = "*"


@command("comparing")
def compare(
    jobs: Annotated[list[Path], arg("JOB...", "One job with its options, or several jobs.")],
    shop: Shop = None,
    setting: Settings = None,
    column: Annotated[
        list[str] | None,
        arg(
            "--or",
            'A column of its own: --or glass.top.treatment=annealed; several values with "; " between them.',
            "PATH=VALUE",
        ),
    ] = None,
    details: Details = False,
    as_json: Json = False,
) -> Answer:
    """Set versions of a piece side by side.

    The options of a job, values tried in columns of their own, or several jobs; marks what differs more than is unsure.
    """
    from quoting.runs.risk import compare as recipe

    found = recipe(jobs, shop, this_day(), setting or (), column or ())
    broken = (code for one in found.versions for code in one.priced.policies_broken)
    said = (compare_data if as_json else _text if details else _answer)(found)
    after = ("quote", jobs[0], *same(shop, setting)) if len(jobs) == 1 else ()
    return Answer(said, broken=broken, next=after, brief=not details)


def _answer(found: Compared) -> str:
    """The price of every version; of each after the first what surely differs, and what that answers."""
    first = found.versions[0]
    prices = [_priced_row(number, one, first) for number, one in enumerate(found.versions, start=1)]
    told = []
    for i in range(1, len(found.versions)):
        words = [_differences(found, i), *(said for _, _, said in found.answers[i])]
        told += [wrapped(f"{i + 1} {line}" if at == 0 else line, "  ") for at, line in enumerate(words)]
        told += [styled(wrapped(words, "    "), "33") for words in _fresh(found, i)]
    return answer(
        f"Versions of {first.priced.job.piece.title}",
        (),
        "\n".join([*prices, *(styled(wrapped(words, "    "), "33") for words in _fresh(found, 0))]),
        part("What surely differs from the first", told),
    )


def _priced_row(number: int, one: Version, first: Version) -> str:
    total, change = one.priced.chain.total, one.priced.chain.total - first.priced.chain.total
    more = f"{'+' if change > 0 else '-'}{money(one.priced, abs(change))}" if change else ""
    return row(f"  {number} {one.name}", f"{more:>12}  {money(one.priced, total):>12}")


def _differences(found: Compared, i: int) -> str:
    """What surely differs in a version beside its price, as it is and as it was; the first few, and how many more."""
    from quoting.pricing.compare import figure_words

    told = []
    for one in found.rows:
        now, before = (_cell(one, at, found.versions[at]) for at in (i, 0))
        if one.sure and one.sure[i] and now != before and one.name != "price_total":
            told.append(f"{figure_words(one)} {now} (was {before})")
    more = f" and {len(told) - MOST_TOLD} more" if len(told) > MOST_TOLD else ""
    return (", ".join(told[:MOST_TOLD]) or "nothing that is more than unsure") + more


def _fresh(found: Compared, i: int) -> Iterator[str]:
    """Warnings of a version that the first has not, in short, and all of broken limits."""
    one, known = found.versions[i].priced, {was.field for was in found.versions[0].priced.warnings}
    for warning in one.warnings:
        if warning.field not in known or warning.code in one.policies_broken:
            yield f"warning: {warning.field}: {clause(warning.words)}"


def _text(found: Compared) -> str:
    """What changes, then the figures in columns, then what differences answer."""
    first, told = found.versions[0], zip(found.versions, found.answers, strict=True)
    answers = (
        block(f"{number} {one.name}, against 1", (wrapped(words, "  ") for _, _, words in some))
        for number, (one, some) in enumerate(told, start=1)
    )
    others, step = range(1, len(found.versions)), max((width() - LABEL) // COLUMN, 2) - 1
    tables = ([0, *others[start : start + step]] for start in range(0, len(others), step))
    note = (
        f"{MARK} differs from the first in at least 9 of 10 builds the same way; or for certain; other differences are smaller than"
        f" what is unsure. {len(first.run.cost):,} builds drawn with seed {found.seed}."
    )
    return blocks(
        bold(f"Versions of {first.priced.job.piece.title}"),
        "\n".join(_legend(found.versions)),
        *("\n".join(_table(found, columns)) for columns in tables),
        *answers,
        aside(note),
    )


def _legend(versions: Sequence[Version]) -> Iterator[str]:
    for number, one in enumerate(versions, start=1):
        total = money(one.priced, one.priced.chain.total)
        yield bold(f"{number} {one.name}") + f"  {total}"
        for change in one.changes:
            if change != one.name:
                yield aside(change, "    ")
        for warning in one.priced.warnings:
            fresh = number > 1 and warning not in versions[0].priced.warnings
            if fresh or warning.code in one.priced.policies_broken:
                yield wrapped(f"warning: {warning.field}: {warning.words}", "    ")


def _table(found: Compared, columns: list[int]) -> Iterator[str]:
    from quoting.pricing.compare import figure_words

    heads = (f"{_cut(f'{i + 1} {found.versions[i].name}'):>{COLUMN - 1}} " for i in columns)
    yield bold(f"{'':{LABEL}}{''.join(heads)}".rstrip())
    for one in found.rows:
        cells = ""
        for i in columns:
            mark = MARK if one.sure and one.sure[i] else " "
            cells += f"{_cell(one, i, found.versions[i]):>{COLUMN - 1}}{mark}"
        yield f"  {figure_words(one):{LABEL - 2}}{cells}".rstrip()


def _cut(name: str) -> str:
    line = one_line(name)
    return line if len(line) < COLUMN - 1 else f"{line[: COLUMN - 3]}…"


def _cell(row: Row, i: int, version: Version) -> str:
    from quoting.measures.showing import in_short

    value = row.values[i]
    if row.kind == "money":
        return money(version.priced, value)
    if row.kind == "about":
        return about(version.priced, value)
    if row.kind == "share":
        return per_cent(value)
    if row.kind in DIMENSIONS:
        return in_short(shown(value, row.kind, version.priced.shop.shop.units)) if value else "0"
    return f"{value:.3g}" if abs(value) < 100 else f"{value:.0f}"
