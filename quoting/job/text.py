"""A job from the questions that are asked for it to the text of its file, with the comments of the starter job."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import fields
from typing import Any, NamedTuple, get_type_hints

from pydantic import TypeAdapter, ValidationError

from quoting.errors import Reading
from quoting.job.book_cells import NUMBER, choices_of, field_hint, is_needed, number_of, record_of
from quoting.job.starters import Field, Section, said_by_all, sections, starter_text
from quoting.reading.splice import toml_key, toml_value
from quoting.reading.tables import reference
from quoting.trades.registry import derived

FILE = "job.toml"
YES_NO = ("no", "yes")
COMMENT_AT = 32  # column of comments, where values are short enough

At = tuple[str | int, ...]


class Question(NamedTuple):
    """A field that is asked for: an example and the comment of the starter job; `choices` where only these will do, first the `usual`
    one, which need not be written. `listed` names where answers come from that are offered.
    """

    section: str
    field: str
    example: str
    words: str
    needed: bool
    choices: tuple[str, ...]
    usual: str
    listed: str


@derived
def asked() -> dict[str, dict[str, Any]]:
    """Sections that are asked about, with what is asked: those of no trade, then parts in printed order."""
    of_trades = {name: one for _, them in said_by_all("questions") for name, one in them.items()}
    return tomllib.loads(reference("questions.toml")) | of_trades


def listed(section: str, field: str) -> str:
    """The list that answers of a field come from; "" where there is none. Where a section is not asked about, its fields take
    their names from what parts call so.
    """
    if section in asked():
        return str(asked()[section].get("list", {}).get(field, ""))
    return next((one["list"][field] for one in asked().values() if field in one.get("list", ())), "")


def lists() -> list[str]:
    """The lists that answers come from, each once."""
    return list(dict.fromkeys(name for one in asked().values() for name in one.get("list", {}).values()))


def questions(section: str) -> list[Question]:
    """The questions of a section in their order."""
    known = {field.name: field for field in sections(FILE)[section].fields}
    return [_question(section, known[name]) for name in asked()[section]["fields"]]


def _question(section: str, field: Field) -> Question:
    record = record_of(section)
    own = next(one for one in fields(record) if one.name == field.name)
    needed = is_needed(section, field.name) or field.name in asked()[section].get("needed", ())
    choices = YES_NO if field_hint(section, field.name) is bool else choices_of(section, field.name)
    usual = YES_NO[bool(own.default)] if choices == YES_NO else str(own.default)
    usual = usual if usual in choices and not needed else ""
    choices = tuple(sorted(choices, key=lambda one: one != usual))
    example = field.value.strip('"')
    answers = listed(section, field.name)
    return Question(section, field.name, example, field.words, needed, choices, usual, answers)


def read_answer(question: Question, answer: str) -> Any:
    """An answer as a job file holds it. Raises Reading, in words, where it cannot be meant."""
    if set(question.choices) == set(YES_NO):
        return answer == "yes"
    hint = get_type_hints(record_of(question.section), include_extras=True)[question.field]
    adapter: TypeAdapter[Any] = TypeAdapter(hint)
    first: Reading | None = None
    for value in (answer, number_of(answer)) if NUMBER.fullmatch(answer) else (answer,):
        try:
            adapter.validate_python(value)
        except ValidationError as error:
            wrong = error.errors()[0].get("ctx", {}).get("error")
            if not isinstance(wrong, Reading):
                wrong = Reading(
                    f'found "{answer}"',
                    f"write it like {question.example}",
                    "unreadable",
                    found=answer,
                    example=question.example,
                )
            first = first or wrong
        else:
            return value
    assert first is not None  # at least the text itself was tried
    raise first


class Line(NamedTuple):
    """A line of a job file, and the path of the value or table that begins there; none of a comment."""

    text: str
    path: At = ()


def job_text(raw: Mapping[str, Any], explained: bool = True) -> str:
    """The text of a job from its raw tables; `explained` with every field that it could have, commented out, once a section."""
    return "\n".join(line.text for line in job_lines(raw, explained)) + "\n"


def job_lines(raw: Mapping[str, Any], explained: bool) -> Iterator[Line]:
    """Sections in the order of the starter job, then those that it does not know; fields likewise."""
    # What the starter job says at its head of how things are written.
    head = starter_text(FILE).partition("\n\n")[0].splitlines()
    yield from (Line(words) for words in (*head, "") if not words.startswith("# One piece"))
    for name, value in raw.items():
        if not isinstance(value, dict) and not _tables(value):
            yield Line(f"{toml_key(name)} = {toml_value(value)}", (name,))
    known = sections(FILE)
    names = [*(name for name in known if name in raw), *(name for name in raw if name not in known)]
    for name in names:
        value = raw[name]
        empty: Section | None = known.get(name)
        if _tables(value):
            for i, table in enumerate(value):
                shown = empty if explained and i == 0 else None
                yield from _section(f"[[{toml_key(name)}]]", table, empty, shown, (name, i))
        elif isinstance(value, dict) and all(isinstance(one, dict) for one in value.values()) and value:
            for inner, table in value.items():
                yield from _section(f"[{toml_key(name)}.{toml_key(inner)}]", table, None, None, (name, inner))
        elif isinstance(value, dict):
            yield from _section(f"[{toml_key(name)}]", value, empty, empty if explained else None, (name,))


def _tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)


def _section(
    header: str, table: Mapping[str, Any], known: Section | None, explained: Section | None, path: At
) -> Iterator[Line]:
    words = f"  # {known.words}" if known is not None and known.words and explained is not None else ""
    yield Line("")
    yield Line(header + words, path)
    fields = known.fields if known is not None else ()
    of = {field.name: field for field in fields}
    for name in [*(one for one in of if one in table), *(one for one in table if one not in of)]:
        comment = of[name].words if name in of and explained is not None else ""
        yield Line(_commented(f"{toml_key(name)} = {toml_value(table[name])}", comment), (*path, name))
    for field in explained.fields if explained is not None else ():
        if field.name not in table:
            start = "# e.g. " if field.instead else "#"
            yield Line(_commented(f"{start}{field.name} = {field.value}", field.words))


def _commented(text: str, words: str) -> str:
    return f"{text.ljust(COMMENT_AT - 1)} # {words}" if words else text
