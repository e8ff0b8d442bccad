"""Versions side by side on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.amounts import about_in, money, money_in
from quoting.cli.terminal import bold, dim, width, wrapped
from quoting.errors import one_line
from quoting.measures import DIMENSIONS, shown
from quoting.money import exact
from quoting.pricing.compare import words_of
from quoting.pricing.sentences import in_short

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.pricing.compare import Row, Version
    from quoting.runs.compare import Compared

LABEL, COLUMN = 24, 18
MARK, NO_MARK = "*", " "


def compare_text(found: Compared) -> str:
    """What changes, then the figures in columns, then what differences answer."""
    first = found.versions[0]
    blocks = [
        bold(one_line(f"Versions of {first.priced.job.piece.title}")),
        "\n".join(_legend(found.versions)),
    ]
    fit = max((width() - LABEL) // COLUMN, 2)
    others = list(range(1, len(found.versions)))
    step = fit - 1
    for start in range(0, len(others), step):
        blocks.append("\n".join(_block(found, [0, *others[start : start + step]])))
    blocks += list(_answers(found))
    note = (
        f"{MARK} differs from the first in at least 9 of 10 builds the same way; or for certain; other differences are smaller than"
        f" what is unsure. {len(first.run.cost):,} builds drawn with seed {found.seed}."
    )
    return "\n\n".join([*blocks, dim(wrapped(note, ""))])


def _legend(versions: Sequence[Version]) -> Iterator[str]:
    for number, one in enumerate(versions, start=1):
        total = money(one.priced, one.priced.chain.total)
        yield bold(one_line(f"{number} {one.name}")) + f"  {total}"
        for change in one.changes:
            if change != one.name:
                yield dim(wrapped(one_line(change), "    "))
        for warning in one.priced.warnings:
            fresh = number > 1 and warning not in versions[0].priced.warnings
            if fresh or warning.code in one.priced.policies_broken:
                yield wrapped(one_line(f"warning: {warning.field}: {warning.words}"), "    ")


def _block(found: Compared, columns: list[int]) -> Iterator[str]:
    heads = "".join(f"{_cut(f'{i + 1} {found.versions[i].name}'):>{COLUMN - 1}} " for i in columns)
    yield bold(f"{'':{LABEL}}{heads}".rstrip())
    for row in found.rows:
        cells = "".join(
            f"{_cell(row, i, found.versions[i]):>{COLUMN - 1}}{MARK if row.sure and row.sure[i] else NO_MARK}"
            for i in columns
        )
        yield f"  {words_of(row):{LABEL - 2}}{cells}".rstrip()


def _cut(name: str) -> str:
    line = one_line(name)
    return line if len(line) < COLUMN - 1 else f"{line[: COLUMN - 3]}…"


def _cell(row: Row, i: int, version: Version) -> str:
    value, house = row.values[i], version.priced.shop.shop
    if row.kind == "money":
        return money_in(house.currency, exact(value, version.priced.digits))
    if row.kind == "about":
        return about_in(house.currency, value)
    if row.kind == "share":
        return f"{value:.1%}"
    if row.kind in DIMENSIONS:
        return in_short(shown(value, row.kind, house.units)) if value else "0"
    return f"{value:.3g}" if abs(value) < 100 else f"{value:.0f}"


def _answers(found: Compared) -> Iterator[str]:
    for number, (one, told) in enumerate(zip(found.versions, found.answers, strict=True), start=1):
        if told:
            rows = [wrapped(answer.words, "  ") for answer in told]
            yield "\n".join([bold(one_line(f"{number} {one.name}, against 1")), *rows])
