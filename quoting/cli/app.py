"""The command itself, and what its commands share: arguments, how their answers are given, what comes next, exit statuses."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple, ParamSpec

import typer

from quoting import __version__
from quoting.as_data.record import Data, dumped, problem_data
from quoting.cli.shape import next_step
from quoting.cli.terminal import progress
from quoting.errors import Exit, Problems

if TYPE_CHECKING:
    from quoting.logbook.piece import Piece

P = ParamSpec("P")

app = typer.Typer(
    help="Price a piece of furniture from its files: take-off, cost, price, workbook and quote.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Exit status: 0 done, 2 something to put right in your files or the command, 3 done but one of your limits is"
    " broken (below the floor, beyond your furthest delivery, an old price with --strict), 70 a fault of ours, 130 interrupted.",
)


def arg(name: str, words: str, metavar: str | None = None) -> Any:
    """An argument by its name, or an option by its flag: what it is for, and what an option takes."""
    if name.startswith("-"):
        return typer.Option(name, metavar=metavar, help=words)
    return typer.Argument(metavar=name, help=words)


Job = Annotated[Path, arg("JOB", "The job file, such as jobs/bench.toml.")]
Shop = Annotated[
    Path | None,
    arg(
        "--shop", "Folder with shop.toml and prices.csv [default: the job's own, or the one above].", "FOLDER"
    ),
]
Settings = Annotated[
    list[str] | None,
    arg("--set", 'Try a value without touching a file: hardwood.leg.waste="30 %".', "PATH=VALUE"),
]
Json = Annotated[bool, arg("--json", "Print the answer as data for other programs (JSON).")]
Number = Annotated[str, arg("NUMBER", "The issued quote, such as 2027-014.")]
Folder = Annotated[
    Path | None, arg("--shop", "The shop folder [default: this one, or the one above].", "FOLDER")
]
Out = Annotated[Path | None, arg("--out", "Where to write [default: a folder in the shop].", "FOLDER")]
Picture = Annotated[Path | None, arg("--out", "Write the picture there, as SVG and PNG.", "FOLDER")]
Draws = Annotated[
    int | None, arg("--draws", "How many builds to draw [default: as job and shop say].", "COUNT")
]
Seed = Annotated[
    int | None, arg("--seed", "The same seed draws the same builds [default: as job and shop say].", "NUMBER")
]
Day = Annotated[str, arg("--on", "As it stood at the end of that day.", "DAY")]
Details = Annotated[bool, arg("--details", "Say everything, not only the answer and its reasons.")]
Xml = Annotated[bool, arg("--xml", "The quote as an electronic document, too, for firms (OASIS UBL 2.1).")]
Overwrite = Annotated[bool, arg("--overwrite", "Write over files that were changed since.")]
Strict = Annotated[bool, arg("--strict", "An old price counts as a broken limit too (exit status 3).")]


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"quoting {__version__}")
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """Price a piece of furniture from its files: take-off, cost, price, workbook and quote."""


class Answer(NamedTuple):
    """What a command has to say: words or data, then the files that it wrote, then more words, then the command that comes next.

    `broken` are limits of the shop that are broken, an old price only where it is `strict`; `status` is another exit status. `next`
    are the words of the next command, in the same place; `brief` where the same command says more with --details.
    """

    said: str | Data
    written: Sequence[Path] = ()
    broken: Iterable[str] = ()
    status: int = Exit.DONE
    strict: bool = False
    more: str = ""
    next: Sequence[str | Path] = ()
    brief: bool = False


def command(doing: str = "", of: typer.Typer = app) -> Callable[[Callable[P, Answer]], Callable[P, Answer]]:
    """A function becomes a command: what it is `doing` is shown until it has an answer, and then the answer.

    Data stand alone on the output: the files written are told beside them. Where data are asked for, so is told what is wrong.
    """

    def hung(body: Callable[P, Answer]) -> Callable[P, Answer]:
        @functools.wraps(body)
        def run(*args: P.args, **kwargs: P.kwargs) -> int:
            if doing:
                progress(doing)
            try:
                _find_jobs(kwargs)
                found = body(*args, **kwargs)
            except Problems as wrong:
                if not kwargs.get("as_json"):
                    raise
                found = Answer(problem_data("terminal", wrong.problems), status=Exit.WRONG_FILES)
            progress("")
            data = not isinstance(found.said, str)
            if found.said:
                typer.echo(found.said if isinstance(found.said, str) else dumped(found.said))
            for line in (*(f"wrote {path}" for path in found.written), *filter(None, [found.more])):
                typer.echo(line, err=data)
            if found.next and not data:
                typer.echo(next_step(found.next, found.brief))
            broken = [code for code in found.broken if found.strict or code != "stale_price"]
            return Exit.POLICY_BROKEN if broken else found.status

        of.command()(run)
        return body

    return hung


def _find_jobs(given: dict[str, Any]) -> None:
    """Puts the files that are meant in the place of the jobs that a command was given."""
    from quoting.runs.finding import job_file

    shop = given.get("shop")
    if given.get("job") is not None:
        given["job"] = job_file(given["job"], shop)
    if given.get("jobs"):
        given["jobs"] = [job_file(one, shop) for one in given["jobs"]]


def this_day() -> date:
    """The day, by the clock of this machine."""
    return date.today()


def same(shop: Path | None, setting: Sequence[str] | None = ()) -> list[str | Path]:
    """The shop and the settings that were given, for the command that comes next."""
    tried = [word for one in setting or () for word in ("--set", one)]
    return [*(() if shop is None else ("--shop", shop)), *tried]


def after(piece: Piece, shop: Path | None) -> list[str | Path]:
    """The command that comes next for a piece of the ledger, as it stands; none for one that is done with."""
    from quoting.ledger.states import AWAITING, BOUND, OWN_STOCK

    now, number = piece.standing, str(piece.number)
    if now.deal == AWAITING:
        return ["mark", number, "agreed", *same(shop)]
    if now.deal in OWN_STOCK and now.built:
        return ["sell", number, *same(shop)]
    if now.deal in (*BOUND, *OWN_STOCK):
        return ["review" if now.built or now.delivered else "standing", number, *same(shop)]
    return []


def house_of(job: Path, shop: Path | None) -> Path | None:
    """The shop of a job, for a command about its ledger that would not find it from here."""
    from quoting.job.files import shop_folder

    house = shop_folder(job, shop)
    return None if shop is None and house.resolve() in (Path.cwd(), Path.cwd().parent) else house


def here(shop: Path | None) -> Path:
    """The shop folder: the one given, the one we are in, or the one above."""
    from quoting.runs.shops import shop_folder_here

    return shop_folder_here(shop, Path.cwd())
