"""What is told has a code with a meaning, and what depends on the door is worded from one table."""

from __future__ import annotations

import ast
import re
import string
import tomllib
from pathlib import Path
from pkgutil import resolve_name
from typing import TYPE_CHECKING

import pytest
from typer.main import get_command

import quoting
from quoting.advice import Advice, advices, argument, worded
from quoting.as_data.record import problem_data
from quoting.cli import app
from quoting.errors import UNTOLD, Problem, refused
from quoting.reading.tables import reference_rows

if TYPE_CHECKING:
    from collections.abc import Iterator

HOME = Path(quoting.__file__).parent
BELOW_THE_DOORS = [
    path for path in HOME.rglob("*.py") if path.relative_to(HOME).parts[0] not in ("cli", "__main__.py")
]
WORDED = {
    "Problem.of": 3,
    "Reading": 2,
    "unread": 2,
    "reader.wrong": 3,
    "self.wrong": 2,
    "unlike": 2,
    "_of_file": 3,
}
"""Calls that take a code, and the place of it among what they are given."""
CODES = {row["code"]: row["words"] for row in reference_rows("problems")}


def calls(path: Path) -> Iterator[tuple[str, ast.Call]]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            yield ast.unparse(node.func), node


def texts(node: ast.expr | None) -> list[str]:
    """The texts that an expression may be: of a conditional one both."""
    if isinstance(node, ast.IfExp):
        return texts(node.body) + texts(node.orelse)
    if isinstance(node, ast.JoinedStr):
        return [ast.unparse(node)]
    return [node.value] if isinstance(node, ast.Constant) and isinstance(node.value, str) else []


def given_codes(path: Path) -> Iterator[str]:
    for name, call in calls(path):
        at = WORDED.get(name.removeprefix("measures.spelling."))
        named = [one.value for one in call.keywords if one.arg == "code"]
        if at is not None and len(call.args) > at:
            named.append(call.args[at])
        for one in named:
            yield from texts(one)


def test_every_code_of_a_problem_has_a_sentence_and_every_sentence_a_use() -> None:
    used = {code for path in HOME.rglob("*.py") for code in given_codes(path)}
    used = {code for code in used if not code.startswith("f'")} | {"unknown_field", "unknown_section", UNTOLD}
    assert sorted(used) == sorted(CODES)
    assert len(CODES) == len(reference_rows("problems"))
    for words in CODES.values():
        assert re.fullmatch(r"[A-Z].{15,110}\.", words)


def test_every_problem_of_the_house_has_a_code() -> None:
    """A bare `Problem` is for packages; `refused` and `Reading` are always of a kind."""
    bare = []
    for path in HOME.rglob("*.py"):
        for name, call in calls(path):
            coded = any(one.arg == "code" for one in call.keywords)
            if (
                name == "Problem"
                or (name == "refused" and not coded)
                or (name == "Reading" and len(call.args) < 3)
            ):
                bare.append(f"{path.relative_to(HOME)}:{call.lineno}")
    assert bare == []


def advice_calls() -> list[tuple[str, set[str], str]]:
    found = []
    for path in HOME.rglob("*.py"):
        for name, call in calls(path):
            if name == "Advice":
                values = {one.arg for one in call.keywords if one.arg}
                place = f"{path.relative_to(HOME)}:{call.lineno}"
                found += [(code, values, place) for code in texts(call.args[0])]
    return found


def slots(words: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(words) if name}


def test_every_advice_is_in_the_table_and_every_slot_is_filled() -> None:
    used = set()
    for code, values, place in advice_calls():
        if code.startswith("f'"):
            used |= {name for name in advices() if re.fullmatch(re.sub(r"\{.*?\}", ".+", code[2:-1]), name)}
            continue
        used.add(code)
        assert code in advices(), place
        for door, words in advices()[code].items():
            assert slots(words) <= values, (place, door)
    assert used == set(advices())


def test_every_advice_has_words_for_every_door() -> None:
    for code, words in advices().items():
        assert set(words) == {"terminal", "python"}, code
        assert all(words.values()), code
        assert "--" not in words["python"], code


def test_what_python_is_told_to_call_is_there() -> None:
    called = [
        name for one in advices().values() for name in re.findall(r"\bquoting\.[\w.]*\w", one["python"])
    ]
    assert len(called) > 15
    for name in called:
        assert callable(resolve_name(name)), name
    assert {"shop", "review", "standing"} <= {*dir(quoting), *dir(quoting.Shop)}


COMMANDS = "|".join(
    name if not hasattr(one, "commands") else rf"{name} ({'|'.join(one.commands)})"
    for name, one in get_command(app).commands.items()  # type: ignore[attr-defined]
)
SPEAKS_OF_A_DOOR = re.compile(rf"\bquoting ({COMMANDS})\b|(?<![\w-])--[a-z]|\bterminal\b|\bcommand\b")


def spoken(path: Path) -> Iterator[str]:
    """The texts of a module that are no docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}  # docstrings
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.value


def test_nothing_below_the_doors_speaks_of_options_commands_or_terminals() -> None:
    """Docstrings and comments may name them, and the comments of starter files, which are read in an editor beside a terminal."""
    told = {
        f"{path.relative_to(HOME)}: {text}"
        for path in BELOW_THE_DOORS
        if path.name != "advice.py"  # which knows the names of the doors
        for text in spoken(path)
        if SPEAKS_OF_A_DOOR.search(text)
    }
    assert sorted(told) == []


def test_no_words_of_trades_speak_of_options_commands_or_terminals() -> None:
    told = [
        f"{path.relative_to(HOME)}: {line}"
        for path in [
            *HOME.rglob("words.toml"),
            *HOME.glob("reference/*.csv"),
            *HOME.glob("reference/pages.toml"),
        ]
        for line in path.read_text(encoding="utf-8").splitlines()
        if SPEAKS_OF_A_DOOR.search(line) and not line.startswith("#")
    ]
    assert told == []


def test_advice_is_worded_by_the_door() -> None:
    told = Advice("see_review", number="2027-014")
    assert worded(told, "terminal") == "see how it went: quoting review 2027-014"
    assert 'review("2027-014")' in worded(told, "python")
    assert told == worded(told, "python")
    assert worded("plain words", "terminal") == "plain words"


def test_advice_within_advice_is_worded_too() -> None:
    told = Advice("or_unplanned", offer=argument("line"))
    assert worded(told, "terminal").startswith("--line; or --unplanned")
    assert worded(told, "python").startswith("line; or unplanned")


def test_a_code_that_nobody_worded_and_a_slot_left_open_are_faults() -> None:
    with pytest.raises(KeyError):
        Advice("no such code")
    with pytest.raises(KeyError):
        Advice("see_review")


def test_a_problem_is_told_in_the_words_of_the_door() -> None:
    problem = Problem.of(argument("price"), "found 0", Advice("give_out"), "zero")
    assert problem.said("terminal") == "--price: found 0; add --out FOLDER."
    assert str(problem) == "price: found 0; pass out=FOLDER."
    assert "--" not in str(refused(argument("price"), "found 0", Advice("give_out"), code="zero"))


def test_problems_as_data_are_in_the_words_of_the_door() -> None:
    problem = Problem.of(argument("price"), "found 0", Advice("give_out"), "zero")
    for door, field, write in (
        ("terminal", "--price", "add --out FOLDER"),
        ("python", "price", "pass out=FOLDER"),
    ):
        (told,) = problem_data(door, [problem])["problems"]
        assert (told["field"], told["write"]) == (field, write)


def test_values_are_plain_data() -> None:
    from datetime import date
    from decimal import Decimal

    import numpy as np

    values = Problem.of(
        "x",
        "",
        "",
        "zero",
        a=Decimal("1.50"),
        b=date(2027, 3, 1),
        c=("x", 1),
        d=np.float64(2),
        e=np.array(3.0),
        f=Path("g"),
    ).values
    assert values == {"a": "1.50", "b": "2027-03-01", "c": ["x", 1], "d": 2.0, "e": 3.0, "f": "g"}
    assert {type(one) for one in (values["d"], values["e"])} <= {float, np.float64}


def test_the_table_of_advice_is_plain_toml() -> None:
    text = HOME.joinpath("reference", "advice.toml").read_text(encoding="utf-8")
    assert list(tomllib.loads(text)) == list(advices())
