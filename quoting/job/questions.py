"""Questions of the interview: fields of a section, how each is answered, and what an answer means in a job file."""

import tomllib
from dataclasses import fields
from importlib.resources import files
from typing import Any, NamedTuple, get_type_hints

from pydantic import TypeAdapter, ValidationError

from quoting.errors import Reading
from quoting.job.book_cells import NUMBER, choices_of, field_hint, is_needed, record_of
from quoting.job.starters import Field, sections
from quoting.job.wording import said_by_all
from quoting.trades.registry import derived

YES_NO = ("no", "yes")


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
    text = files("quoting").joinpath("reference", "questions.toml").read_text(encoding="utf-8")
    of_trades = {name: one for _, them in said_by_all("questions") for name, one in them.items()}
    return tomllib.loads(text) | of_trades


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
    known = {field.name: field for field in sections("job.toml")[section].fields}
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
    return Question(
        section, field.name, example, field.words, needed, choices, usual, listed(section, field.name)
    )


def read_answer(question: Question, answer: str) -> Any:
    """An answer as a job file holds it. Raises Reading, in words, where it cannot be meant."""
    if set(question.choices) == set(YES_NO):
        return answer == "yes"
    hint = get_type_hints(record_of(question.section), include_extras=True)[question.field]
    adapter: TypeAdapter[Any] = TypeAdapter(hint)
    first: Reading | None = None
    for value in (answer, *_numbers(answer)):
        try:
            adapter.validate_python(value)
        except ValidationError as error:
            wrong = error.errors()[0].get("ctx", {}).get("error")
            if not isinstance(wrong, Reading):
                wrong = Reading(f'found "{answer}"', f"write it like {question.example}")
            first = first or wrong
        else:
            return value
    assert first is not None  # at least the text itself was tried
    raise first


def _numbers(answer: str) -> list[Any]:
    """The number that a text may stand for."""
    return [float(answer) if "." in answer else int(answer)] if NUMBER.fullmatch(answer) else []
