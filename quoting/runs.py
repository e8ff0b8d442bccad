"""The recipe of each command: load, compute, write. The only place that knows folders and today."""

from __future__ import annotations

import shutil
import tempfile
import tomllib
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quoting.errors import Problem, Problems, nearest
from quoting.inputs.load import PRICE_FILE, SHOP_FILE, load, load_shop, read
from quoting.inputs.locate import line_of
from quoting.inputs.shipped import shipped, starter_values
from quoting.inputs.sources import read_toml
from quoting.pricing.price import priced, shown_rates, unsure
from quoting.pricing.problems import problems_of
from quoting.pricing.record import Variant
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from quoting.inputs.brief import Brief
    from quoting.pricing.record import Priced, RateShown

WORDING = "wording.toml"
PICTURE_KINDS = (".png", ".jpg", ".jpeg")
LARGEST_PICTURE = 20_000_000


def start(folder: Path) -> list[str]:
    """Make a shop folder from the templates; refuses a folder that exists and is not empty."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise Problems([Problem("", f"found {folder}, which is not empty", "name a new folder")])
    folder.parent.mkdir(parents=True, exist_ok=True)
    templates = shipped("templates")
    files = {"shop.toml": "shop.toml", "prices.csv": "prices.csv", "job.toml": "jobs/first-bench.toml"}
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".quoting-") as made:
        for source, target in files.items():
            path = Path(made, "shop", target)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(templates.joinpath(source).read_text(encoding="utf-8"), encoding="utf-8")
        if folder.exists():
            folder.rmdir()
        shutil.move(Path(made, "shop"), folder)
    return list(files.values())


def check(job: Path, shop: Path | None, settings: Sequence[str] = ()) -> tuple[Brief, dict[str, Brief]]:
    """Read everything a job needs: its brief, and one for each option. Problems with all that is wrong."""
    brief, problems = _read(job, shop, settings)
    if brief is None:
        raise Problems(problems)
    options: dict[str, Brief] = {}
    for option in brief.job.option:
        variant, wrong = _read(job, shop, settings, option.name)
        problems += [
            replace(one, field=f"option {option.name}: {one.field}") for one in wrong if one not in problems
        ]
        if variant is not None:
            options[option.name] = variant
    if problems:
        raise Problems(problems)
    return brief, options


def _read(
    job: Path, shop: Path | None, settings: Sequence[str], option: str = ""
) -> tuple[Brief | None, list[Problem]]:
    """A brief and all its problems; what can be reckoned is checked even where something else is wrong."""
    brief, problems = read(job, shop, settings, option)
    unsound = any(problem.file == SHOP_FILE or problem.field.endswith("channel") for problem in problems)
    if brief is not None and not unsound:
        book_read = not any(problem.file == PRICE_FILE for problem in problems)
        problems += [problem for problem in problems_of(brief, book_read) if problem not in problems]
    return brief, problems


def price(job: Path, shop: Path | None, settings: Sequence[str] = ()) -> Priced:
    """Price a job, and each of its options in its place."""
    brief, options = check(job, shop, settings)
    pictures(job, brief)
    words = wording(brief.folder)
    starter = starter_values(brief.sources[1].raw)
    today = date.today()
    result = priced(brief, today, words, starter)
    variants = [
        Variant(option.name, option.words, priced(options[option.name], today, words, starter).chain.total)
        for option in brief.job.option
    ]
    return replace(result, unsure=unsure(brief), options=tuple(variants))


def wording(folder: Path) -> Mapping[str, Mapping[str, str]]:
    """The words of the quote: the shop's own over the shipped ones. Problems where one is unknown."""
    words: dict[str, Any] = tomllib.loads(shipped("templates").joinpath(WORDING).read_text(encoding="utf-8"))
    own = folder / WORDING
    if not own.is_file():
        return words
    source = read_toml(own)
    problems = []
    for section, texts in source.raw.items():
        known = words.get(section)
        if not isinstance(texts, dict) or not isinstance(known, dict):
            if section != "format":
                problems.append(
                    Problem(section, "found an unknown section", nearest(section, words), WORDING)
                )
            continue
        for name, text in texts.items():
            if name not in known or not isinstance(text, str):
                place = line_of(source.text, [section, name])
                wrong = Problem(f"{section}.{name}", "found no text of the quote", nearest(name, known))
                problems.append(wrong.at(WORDING, place))
            known[name] = text
    if (language := words["quote"]["language"]) and not _spoken(language):
        wrong = Problem("quote.language", f'found "{language}"', "write a language such as en, de or fr")
        problems.append(wrong.at(WORDING, line_of(source.text, ["quote", "language"])))
    if problems:
        raise Problems(problems)
    return words


def _spoken(language: str) -> bool:
    """True for a language whose months are known."""
    from babel.localedata import exists

    return language.isalpha() and language.islower() and exists(language)


def quote(
    job: Path,
    shop: Path | None,
    settings: Sequence[str],
    out: Path | None,
    overwrite: bool,
    step: Callable[[str], None],
) -> tuple[Priced, list[Path]]:
    """Write the quote, the workbook and the maker's sheet of a job beside it, or into `out`; all or none.

    A file that someone changed since it was written is left alone unless `overwrite` is true.
    """
    from quoting.documents.maker_sheet import maker_sheet_bytes
    from quoting.documents.quote_pdf import quote_bytes
    from quoting.documents.workbook import workbook_bytes
    from quoting.live.plan import live_plan

    step("pricing")
    result = price(job, shop, settings)
    brief = load(job, shop, settings)
    drawn = pictures(job, brief)
    folder = out if out is not None else job.resolve().parent
    step("writing the quote")
    pdf, warned = quote_bytes(result, *drawn)
    step("writing the workbook")
    bench, lacking = maker_sheet_bytes(result)
    told = {one.field for one in warned}
    warned = (*warned, *(one for one in lacking if one.field not in told))
    result = replace(result, warnings=(*result.warnings, *warned))
    sheet = workbook_bytes(result, live_plan(brief))
    name = job.stem
    files = {f"{name} quote.pdf": pdf, f"{name} breakdown.xlsx": sheet}
    files[f"{name} maker sheet.pdf"] = bench
    written = write_all(folder, files, str(job.resolve()), overwrite)
    return result, written


def pictures(job: Path, brief: Brief) -> tuple[bytes | None, bytes | None]:
    """Picture of the piece and logo of the shop; Problems for every one that is not to be had."""
    wanted = (
        (job.resolve().parent, brief.job.piece.picture, "piece.picture"),
        (brief.folder.resolve(), brief.shop.shop.logo, "shop.logo"),
    )
    found: list[bytes | None] = []
    problems: list[Problem] = []
    for folder, name, field in wanted:
        try:
            found.append(_image(folder, name, field))
        except Problems as wrong:
            problems += brief.placed(wrong.problems)
    if problems:
        raise Problems(problems)
    return found[0], found[1]


def _image(folder: Path, name: str, field: str) -> bytes | None:
    """The bytes of a picture named in a file: inside the folder of that file only."""
    if not name:
        return None
    path = (folder / name).resolve()
    wanted = "write the name of a PNG or JPEG beside the file, such as bench.jpg"
    if not path.is_relative_to(folder.resolve()) or path.suffix.lower() not in PICTURE_KINDS:
        raise Problems([Problem(field, f'found "{name}"', wanted)])
    if not path.is_file() or path.stat().st_size > LARGEST_PICTURE:
        raise Problems([Problem(field, f'found no picture "{name}", or one over 20 MB', wanted)])
    return path.read_bytes()


def rates(folder: Path) -> tuple[tuple[RateShown, ...], list[str], str]:
    """The hour rates of a shop, what may be counted twice in them, and the currency."""
    from quoting.costing.doubles import double_counts

    if folder.is_file():
        raise Problems([Problem("", "is a file", "name the shop folder, which holds shop.toml", str(folder))])
    brief = load_shop(folder)
    return shown_rates(brief), double_counts(brief.shop), brief.shop.shop.currency
