"""Files as they were read, and files that they name beside them."""

import hashlib
import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from quoting.errors import Path as InFile
from quoting.errors import Problem, Problems, refused
from quoting.measures.spelling import unread
from quoting.reading.scan import BOM

LARGEST_FILE = 5_000_000
ADVICE = (
    'write text and measures in plain quotes, as in width = "18 in"; numbers without, as in 55000;'
    " true and false in small letters; days as 2027-03-01"
)
ADVICE_TWICE = "write each section and each field once; a part of its own is [[hardwood]], with two brackets"
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Source:
    """A file as it was read: its name for messages, text, raw tables and fingerprint. Of a spreadsheet it is the text that says the
    same, and `cells` are where its lines come from; tables that were never a text are not `lined`.
    """

    name: str
    text: str
    raw: dict[str, Any]
    sha256: str
    cells: Mapping[int, str] = field(default_factory=dict)
    lined: bool = True

    def placed(self, problem: Problem, line: int, path: InFile) -> Problem:
        """A problem with its place: the line, or the cell that it comes from."""
        if not self.cells:
            return problem.at(self.name, line if self.lined else 0, path)
        cell = self.cells.get(line, "")
        return _of_sheet(problem).at(f"{self.name}, {cell}" if cell else self.name, 0, path)


def _of_sheet(problem: Problem) -> Problem:
    """The problem with advice for one who fills in cells, where that for a text file would not do."""
    missing = re.fullmatch(r'write (\w+) = "\.\.\."', problem.write)
    if missing:
        return replace(problem, write=f'fill in "{missing[1]}", or empty the rest of the row')
    if section := re.fullmatch(r"write a section \[(\w+)\]", problem.write):
        return replace(problem, write=f'fill in the sheet "{section[1]}"')
    spoken = problem.write.replace("write true or false, without quotes", "write yes or no")
    return replace(problem, write=spoken)


@contextmanager
def readable(path: Path) -> Iterator[None]:
    """Reads a file within; Problems where it cannot be read, or is far too large."""
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise _too_large(str(path))
        yield
    except OSError as error:
        found, wanted = f"cannot be read: {error.strerror}", "name a file that exists"
        raise _of_file(str(path), found, wanted, "file_unreadable", reason=error.strerror) from None


def read_text(path: Path) -> str:
    """The text of a file; Problems where it cannot be read, is no UTF-8, or is far too large."""
    with readable(path):
        try:
            return path.read_text(encoding="utf-8-sig")
        except UnicodeDecodeError as error:
            raise not_utf8(str(path), error) from None
        except IsADirectoryError:
            raise _of_file(str(path), "is a folder", "name a file in it", "file_kind") from None


def as_read(text: str) -> str:
    """A text as `read_text` gives it: without the mark at its head, all lines ending alike."""
    return text.removeprefix(BOM).replace("\r\n", "\n").replace("\r", "\n")


def read_plain(path: Path) -> Source:
    """A file that is no TOML, such as a table in CSV."""
    text = read_text(path)
    return Source(path.name, text, {}, fingerprint(text))


def fingerprint(text: str) -> str:
    """SHA-256 of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


def read_toml(path: Path) -> Source:
    """A TOML file; Problems with the line of what cannot be read."""
    return toml_source(path.name, read_text(path))


def toml_source(name: str, text: str) -> Source:
    """A text as a TOML file of that name; Problems with the line of what cannot be read."""
    if len(text) > LARGEST_FILE:
        raise _too_large(name)
    try:
        return Source(name, text, tomllib.loads(text), fingerprint(text))
    except tomllib.TOMLDecodeError as error:
        raise Problems([_toml_problem(name, text, str(error))]) from None
    except ValueError as error:  # an integer of thousands of digits
        found = f"cannot be read: {error}"
        raise _of_file(name, found, "write a smaller number", "not_toml", reason=error) from None
    except RecursionError:
        raise _of_file(name, "found tables nested too deep", "write them flat", "not_toml") from None


def not_utf8(name: str, error: UnicodeDecodeError) -> Problems:
    """What is wrong with a file that holds other bytes than those of UTF-8."""
    found = f"found bytes that are not UTF-8 ({error.reason})"
    return _of_file(name, found, "save it as UTF-8", "not_utf8", reason=error.reason)


def _of_file(name: str, found: str, write: str, code: str, /, **values: object) -> Problems:
    return refused("", found, write, name, code=code, **values)


def _too_large(name: str) -> Problems:
    found = f"found more than {LARGEST_FILE} bytes"
    return _of_file(name, found, "write a smaller file", "file_too_large", most=LARGEST_FILE)


def _toml_problem(name: str, text: str, words: str) -> Problem:
    """A syntax error with its line; tomlkit often tells a better place than the standard library."""
    import tomlkit.exceptions

    place = re.search(r"line (\d+)", words)
    if place is None:
        try:
            tomlkit.parse(text)
        except tomlkit.exceptions.TOMLKitError as error:
            place = re.search(r"line (\d+)", str(error))
    clean, wanted = re.sub(r" ?\(at .*\)", "", words), ADVICE_TWICE if "Cannot" in words else ADVICE
    problem = Problem.of("", f"cannot be read as TOML: {clean}", wanted, "not_toml", found=clean)
    return problem.at(name, int(place[1]) if place else 0)


def collected(problems: list[Problem], given: T, read: Callable[[T], Source]) -> Source | None:
    """A file, or None with what is wrong added to `problems`."""
    try:
        return read(given)
    except Problems as error:
        problems += error.problems
        return None


class Wanted(NamedTuple):
    """What a file should be: the ends of its name, what those are called, what it is, and what to write instead."""

    suffixes: tuple[str, ...]
    called: str
    thing: str
    write: str


def file_beside(folder: Path, name: str, wanted: Wanted) -> Path:
    """The file `name` in `folder`. Reading where it lies elsewhere, is not called so, or is no plain file.

    Where a link leads is what counts. Nothing is opened before it is known to be a plain file: a pipe would
    never end.
    """
    try:
        path = (folder / name).resolve()
        inside = path.is_relative_to(folder.resolve())
        plain, there = path.is_file(), path.exists()
    except (OSError, RuntimeError):  # a name longer than a file can have; links that go in a circle
        raise unread(name, wanted.write, "file_missing", "which leads to no file") from None
    if Path(name).is_absolute() or not inside:
        raise unread(name, wanted.write, "file_outside", "which is outside the folder of this file")
    if Path(name).suffix.lower() not in wanted.suffixes:
        why = f"which is no {wanted.called} by its name"
        raise unread(name, wanted.write, "file_kind", why, wanted=wanted.called)
    if not there:
        raise unread(name, wanted.write, "file_missing", "and no such file is there")
    if not plain:
        why = f"which is a folder or a device, not a {wanted.thing}"
        raise unread(name, wanted.write, "file_kind", why, wanted=wanted.thing)
    return path
