"""quoting ask: an interview gives the job file that a maker would have written, and the price so far after every part."""

from __future__ import annotations

import tomllib
from dataclasses import MISSING, fields
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from end_to_end.command import price_of, quoting_run
from prompt_toolkit.application import create_app_session
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from quoting.cli.ask import Terminal, places
from quoting.errors import Problems
from quoting.job.book_cells import record_of
from quoting.job.text import asked, questions
from quoting.runs.interview import AGAIN, KEEP, LEAVE, UNPRICED, interview
from quoting.trades.registry import trades

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

TODAY = date(2027, 3, 1)


class Script:
    """Answers by the field that is asked for; a list is answered one after another. Remembers what it was told."""

    def __init__(self, answers: dict[str, Any]) -> None:
        self.answers, self.said, self.refused = answers, [], []  # type: ignore[var-annotated]

    def _next(self, words: str) -> str:
        name = words.partition(" (")[0]
        answer = self.answers.get(name, "")
        return str(answer.pop(0) if isinstance(answer, list) else answer)

    def text(self, words: str, wrong: Callable[[str], str], offered: Sequence[str]) -> str:
        while told := wrong(answer := self._next(words)):
            self.refused.append(told)
        self.answers.setdefault("offered", {})[words.partition(" (")[0]] = list(offered)
        return answer

    def choice(self, words: str, options: Sequence[str]) -> str:
        answer = self._next(words)
        return answer if answer in options else options[0]

    def say(self, words: str) -> None:
        self.said.append(words)


def script(**more: Any) -> Script:
    wood = "a part of solid wood"
    return Script(
        {
            "title": "Window bench", "What is it made of? Add": [wood, wood, "that is all"],
            "part": ["seat", "leg"], "species": ["red oak", "red oak"], "length": ["", "40 in", "16 in"], "width": ["", "12 in", "1 3/4 in"],
            "thickness": ["3/4 in", "1 3/4 in"], "quantity": ["", "1", "4"], "glued up": ["yes", "no"], "joints": ["", "2"],
            "Do you deliver it?": "yes", "road distance": "12 mi", **more,
        }
    )  # fmt: skip


def test_answers_become_a_job_file(shop: Path) -> None:
    """What was answered is in the file, with comments; what was left empty is not; after each part the price is told."""
    ask = script()
    path = interview(ask, shop, shop / "jobs", TODAY)
    assert path.name == "window-bench.toml"
    raw = tomllib.loads(path.read_text("utf-8"))
    assert raw == {
        "format": 1,
        "piece": {"title": "Window bench"},
        "hardwood": [
            {"part": "seat", "species": "red oak", "length": "40 in", "width": "12 in", "thickness": "3/4 in", "quantity": 1, "glued_up": True},
            {"part": "leg", "species": "red oak", "length": "16 in", "width": "1 3/4 in", "thickness": "1 3/4 in", "quantity": 4, "joints": 2},
        ],
        "delivery": {"road_distance": "12 mi"},
    }  # fmt: skip
    assert "# from staves of the shop's usual width" in path.read_text("utf-8")
    so_far = [said for said in ask.said if "So far: cost" in said]
    assert len(so_far) == 3
    assert price_of(path)["price"]["total"] in so_far[-1].replace(",", "").replace("$", "")
    assert "red oak" in ask.answers["offered"]["species"]


def test_a_wrong_answer_is_told_at_once(shop: Path) -> None:
    """In the words of a job file's errors, before the next question."""
    ask = script(length=["", "40", "40 in", "", "16 in"])
    interview(ask, shop, shop / "jobs", TODAY)
    assert ask.refused[0].startswith('found "40"')
    assert "write a length" in ask.refused[0]
    assert "this cannot stay empty" in ask.refused


@pytest.mark.parametrize("decided", [AGAIN, KEEP, LEAVE])
def test_a_part_without_a_price_is_decided_on(shop: Path, decided: str) -> None:
    """A timber that the price book lacks: told with the row to write; then kept, left out, or answered again."""
    again = decided == AGAIN
    ask = script(
        **{
            UNPRICED: decided,
            "species": ["bubinga", *(["red oak"] if again else []), "red oak"],
            "part": ["seat", *(["seat"] if again else []), "leg"],
            "length": ["", "40 in", *(["40 in"] if again else []), "16 in"],
            "width": ["", "12 in", *(["12 in"] if again else []), "1 3/4 in"],
            "thickness": ["3/4 in", *(["3/4 in"] if again else []), "1 3/4 in"],
            "quantity": ["", "1", *(["1"] if again else []), "4"],
            "glued up": ["yes", *(["yes"] if again else []), "no"],
            "joints": ["", *([""] if again else []), "2"],
        }
    )
    path = interview(ask, shop, shop / "jobs", TODAY)
    species = [part["species"] for part in tomllib.loads(path.read_text("utf-8"))["hardwood"]]
    assert (
        species == {AGAIN: ["red oak", "red oak"], KEEP: ["bubinga", "red oak"], LEAVE: ["red oak"]}[decided]
    )
    assert any("bubinga" in said for said in ask.said)


def test_a_job_of_that_name_stays(shop: Path) -> None:
    """Nothing is written over: the title is refused at its own question."""
    interview(script(), shop, shop / "jobs", TODAY)
    before = (shop / "jobs" / "window-bench.toml").read_bytes()
    ask = script(title=["Window bench", "Door bench"])
    assert interview(ask, shop, shop / "jobs", TODAY).name == "door-bench.toml"
    assert "which is there already" in ask.refused[0]
    assert (shop / "jobs" / "window-bench.toml").read_bytes() == before


def test_what_was_priced_is_kept_on_ctrl_c(shop: Path) -> None:
    """Interrupted in the second part, the file holds the first, and can be priced."""

    class Stopped(Script):
        def say(self, words: str) -> None:
            super().say(words)
            if len(self.said) == 2:
                raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interview(Stopped(script().answers), shop, shop / "jobs", TODAY)
    assert price_of(shop / "jobs" / "window-bench.toml")["quantities"]["hardwood_bd_ft"] > 0


def test_the_shop_s_own_timber_and_prices_are_offered(shop: Path) -> None:
    """A timber of shop.toml is known at its question; things of the price book are offered."""
    text = (shop / "shop.toml").read_text("utf-8")
    (shop / "shop.toml").write_text(text + '\n[species."barn beech"]\ndensity = "690 kg/m3"\n', "utf-8")
    with (shop / "prices.csv").open("a") as book:
        book.write("barn beech 4/4,bd ft,5,,,,,\n")
    ask = script(
        species=["barn beech", "red oak"], product="hard wax oil", area="9 ft2", coats="",
        **{"What is it made of? Add": ["a part of solid wood", "a part of solid wood", "oil or varnish", "that is all"], "part": ["seat", "leg", "oil"]},
    )  # fmt: skip
    path = interview(ask, shop, shop / "jobs", TODAY)
    assert ask.refused == []
    assert tomllib.loads(path.read_text("utf-8"))["hardwood"][0]["species"] == "barn beech"
    assert "barn beech" in ask.answers["offered"]["species"]
    assert "hard wax oil" in ask.answers["offered"]["product"]


def test_a_refused_part_is_not_in_the_file(shop: Path) -> None:
    """Stopped while it is told what is wrong with a part, the file holds what had a price."""

    class Stopped(Script):
        def choice(self, words: str, options: Sequence[str]) -> str:
            if words == UNPRICED:
                raise KeyboardInterrupt
            return super().choice(words, options)

    ask = Stopped(script(thickness=["3/4 in", "9 in"]).answers)
    with pytest.raises(KeyboardInterrupt):
        interview(ask, shop, shop / "jobs", TODAY)
    parts = tomllib.loads((shop / "jobs" / "window-bench.toml").read_text("utf-8"))["hardwood"]
    assert [part["part"] for part in parts] == ["seat"]


def test_what_nobody_knows_is_told_at_its_question(shop: Path) -> None:
    """A timber spelled wrong, before the next question; a number as programmers write it is none."""
    ask = script(species=["red oack", "red oak", "red oak"], quantity=["", "1_0", "1", "4"])
    interview(ask, shop, shop / "jobs", TODAY)
    assert any('write "red oak"' in one for one in ask.refused)
    assert any("1_0" in one for one in ask.refused)


def test_questions_ask_for_all_that_a_part_needs() -> None:
    """Every trade can be answered; every field that has no default is asked for."""
    assert set(trades()) <= set(asked())
    for section in asked():
        record = record_of(section)
        needed = {
            one.name for one in fields(record) if one.default is MISSING and one.default_factory is MISSING
        }
        questioned = {one.field for one in questions(section)}
        assert needed <= questioned, section


def test_the_terminal_asks(shop: Path) -> None:
    """Keys as a maker presses them: text is judged, a list is walked through with arrows, known answers are offered."""
    with create_pipe_input() as keys, create_app_session(input=keys, output=DummyOutput()):
        keys.send_text("40\r\x7f\x7f40 in\r")
        assert Terminal().text("length", lambda said: "" if "in" in said else "write a unit", ()) == "40 in"
        keys.send_text("\x1b[B\r")
        assert Terminal().choice("which", ["one", "two", "three"]) == "two"
        for key, said in (("y", "yes"), ("n", "no"), ("\r", "no")):
            keys.send_text(key if key == "\r" else f"{key}\r")
            assert Terminal().choice("glued up", ("no", "yes")) == said
        keys.send_text("red oak\r")
        assert Terminal().text("species", lambda _: "", ["red oak", "white oak"]) == "red oak"
        keys.send_text("\x03")
        with pytest.raises(KeyboardInterrupt):
            Terminal().text("title", lambda _: "", ())


def test_without_a_terminal_other_ways_are_named(shop: Path) -> None:
    """A pipe cannot be asked."""
    done = quoting_run("ask", "--shop", shop)
    assert done.returncode == 2
    assert "quoting start --sheet" in done.stderr


def test_the_folder_may_be_the_shop_or_one_in_it(shop: Path, tmp_path: Path) -> None:
    """Named from anywhere: the shop itself, its jobs, or another folder beside --shop."""
    elsewhere = tmp_path / "elsewhere"
    assert places(shop, None) == (shop, shop / "jobs")
    assert places(shop / "jobs", None) == (shop.resolve(), shop / "jobs")
    assert places(elsewhere, shop) == (shop, elsewhere)
    with pytest.raises(Problems, match=r"found no shop\.toml"):
        places(elsewhere, None)
