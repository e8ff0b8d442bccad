"""A job looked through with all it needs: what can be reckoned of it, and all that is wrong. Nothing is raised for a maker's mistake."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from quoting.cut_plans.plan import with_plans
from quoting.errors import Problem, Reading
from quoting.job.brief import Brief, option_at
from quoting.job.files import PRICE_FILE, Files
from quoting.job.read import read
from quoting.job.starters import wording
from quoting.measures.spelling import quoted
from quoting.nesting.pattern import Limit, usual
from quoting.pricing.price import problems_of, without_parts
from quoting.reading.sources import Wanted, file_beside
from quoting.trades.parts import parts
from quoting.trades.registry import trades

Settings = Sequence[str]
"""Values tried without touching a file, each as path=value."""

LARGEST_PICTURE_MB = 20
NAME_A_PICTURE = "write the name of a PNG or JPEG in the folder of this file, such as bench.jpg"
PICTURE = Wanted((".png", ".jpg", ".jpeg"), "PNG or JPEG", "picture", NAME_A_PICTURE)


@dataclass(frozen=True, slots=True)
class Seen:
    """A brief as far as it can be read, and everything that is wrong.

    `reckoned` is the brief of what can be priced: without the parts that are `left_out`, by their names; None where something is wrong
    that the price of all of them rests on.
    """

    brief: Brief | None
    problems: tuple[Problem, ...]
    reckoned: Brief | None
    left_out: tuple[str, ...] = ()


def seen(
    files: Files, settings: Settings = (), option: str = "", limits: Callable[[int], Limit] = usual
) -> Seen:
    """Look a job through, or the variant of one of its options: read it, plan its cuts, find what cannot be reckoned or has no price."""
    brief, found, sound, wrong = read(files, settings, option)
    problems = list(found)
    if brief is None or not sound:
        return Seen(brief, tuple(problems), None)
    planned, unplanned = with_plans(brief, limits)
    problems += brief.placed(unplanned)
    book_read = not any(problem.file == PRICE_FILE for problem in problems)
    problems += [problem for problem in problems_of(planned, book_read) if problem not in problems]
    if not problems:
        return Seen(planned, (), planned)
    own = option_at(files.job.raw, option) if files.job is not None and option else None
    reckoned, left_out = _reckoned(brief, [one for one in problems if _bears(one, own)], limits)
    return Seen(planned, tuple(problems), reckoned, (*wrong, *left_out))


def _bears(problem: Problem, option: int | None) -> bool:
    """True for what a price may rest on: not a row of the price file, which is missed where it is needed, and not another option."""
    of_other = problem.path[:1] == ("option",) and (option is None or problem.path[1:2] != (option,))
    return problem.file != PRICE_FILE and not of_other


def _reckoned(
    brief: Brief, problems: Sequence[Problem], limits: Callable[[int], Limit]
) -> tuple[Brief | None, tuple[str, ...]]:
    """The brief without the parts that something is wrong with, as often as that leaves others in the lurch; and which those are."""
    left_out: list[str] = []
    while True:
        there = {f"{trade}.{part.id}" for trade, part in parts(brief.job)}
        broken = there & {".".join(one.field.split(".")[:2]) for one in problems}
        if not all(map(_of_a_part, problems)) or (left_out and not broken):
            return None, tuple(left_out)
        left_out += sorted(broken)
        brief = without_parts(brief, broken)
        planned, unplanned = with_plans(brief, limits)
        problems = [*brief.placed(unplanned), *problems_of(planned)]
        if not problems:
            return planned, tuple(left_out)


def _of_a_part(problem: Problem) -> bool:
    """True for what is wrong in one part, written by itself or added by an option."""
    path = problem.path
    written = path[2:4] if path[:1] == ("option",) else path[:2]
    return (
        len(written) == 2 and isinstance(written[1], int) and (written[0] == "add" or written[0] in trades())
    )


@dataclass(frozen=True, slots=True)
class Shown:
    """What the papers of a job show beside its price: the texts, the picture of the piece and the sign of the shop; what is wrong with them."""

    words: Mapping[str, Mapping[str, str]]
    picture: bytes | None
    logo: bytes | None
    problems: tuple[Problem, ...]


def shown_with(brief: Brief, files: Files) -> Shown:
    """Read what papers show. Texts that are wrong stand as they are shipped, pictures that cannot be printed are left away."""
    problems: list[Problem] = []
    words = wording(brief.folder, problems)
    picture = _picture(files.home, brief.job.piece.picture, "piece.picture", brief, problems)
    logo = _picture(brief.folder, brief.shop.shop.logo, "shop.logo", brief, problems)
    return Shown(words, picture, logo, tuple(problems))


def _picture(folder: Path, name: str, field: str, brief: Brief, problems: list[Problem]) -> bytes | None:
    """A picture that a file in `folder` names; None where it names none, or one that cannot be printed: then a problem is noted."""
    from quoting.documents.paper.picture import printable

    if not name:
        return None
    try:
        path = file_beside(folder, name, PICTURE)
        size_mb = path.stat().st_size / 1_000_000
        if size_mb > LARGEST_PICTURE_MB:
            found, most = f"found {quoted(name)} of {size_mb:.1f} MB", LARGEST_PICTURE_MB
            wanted = f"write the name of a picture of at most {most} MB"
            raise Reading(found, wanted, "file_too_large", name=name, size_mb=size_mb, most_mb=most)
        return printable(path.read_bytes())
    except Reading as reading:
        problems += brief.placed([reading.problem(field)])
        return None
