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
from quoting.runs.asking import BACK
from quoting.runs.interview import ADD, AGAIN, CHANGE, DELIVER, KEEP, LEAVE, MADE_OF, UNPRICED, interview
from quoting.trades.registry import trades

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

TODAY = date(2027, 3, 1)


SAME = "as it was"


class Script:
    """Answers by the field that is asked for; a list is answered one after another. Remembers what it was told."""

    def __init__(self, answers: dict[str, Any]) -> None:
        self.answers, self.said, self.refused = answers, [], []  # type: ignore[var-annotated]

    def _next(self, words: str) -> str:
        name = words.partition(" (")[0]
        answer = self.answers.get(name, "")
        return str(answer.pop(0) if isinstance(answer, list) else answer)

    def text(self, words: str, wrong: Callable[[str], str], offered: Sequence[str], now: str = "") -> str:
        while told := wrong(answer := self._next(words)):
            self.refused.append(told)
        answer = now if answer == SAME else answer
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
    """A timber that the price file lacks: told with the row to write; then kept, left out, or answered again."""
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
            if len([said for said in self.said if "So far" in said]) == 2:
                raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interview(Stopped(script().answers), shop, shop / "jobs", TODAY)
    assert price_of(shop / "jobs" / "window-bench.toml")["quantities"]["hardwood_bd_ft"] > 0


def test_the_shop_s_own_timber_and_prices_are_offered(shop: Path) -> None:
    """A timber of shop.toml is known at its question; things of the price file are offered."""
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
        for key, said in (("back\r", BACK), ("b\r", BACK), ("x\x7fno\r", "no"), ("\r", "yes")):
            keys.send_text(key)
            assert Terminal().choice("glued up", ("yes", "no", BACK)) == said
        keys.send_text("\x7f4\r")
        assert Terminal().text("quantity", lambda _: "", (), "12") == "14"
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


class Talk:
    """What is asked, and what is answered, one after another: each question must be the one that is expected. `said` is what was told,
    `now` what stood in each line to be changed, `offered` what was offered with it.
    """

    def __init__(self, talk: str) -> None:
        self.talk = [tuple(map(str.strip, line.split(">"))) for line in talk.strip().splitlines()]
        self.said: list[str] = []
        self.now: list[str] = []
        self.offered: list[list[str]] = []

    def text(self, words: str, wrong: Callable[[str], str], offered: Sequence[str], now: str = "") -> str:
        question, answer = self.talk.pop(0)
        assert words.partition(" (")[0] == question, f"asked {words} where {question} was expected"
        answer = now if answer == SAME else answer
        assert wrong(answer) == "", f"{question} {answer}: {wrong(answer)}"
        self.now.append(now)
        self.offered.append(list(offered))
        return answer

    def choice(self, words: str, options: Sequence[str]) -> str:
        question, answer = self.talk.pop(0)
        assert words.partition(" (")[0].startswith(question), f"asked {words} where {question} was expected"
        answer = answer or options[0]
        assert answer in options
        return answer

    def say(self, words: str) -> None:
        self.said.append(words)


def talked(shop: Path, talk: str, today: date = TODAY) -> tuple[Talk, dict[str, Any]]:
    """An interview to its end, and the job that it wrote."""
    done = Talk(talk)
    path = interview(done, shop, shop / "jobs", today)
    assert done.talk == []
    return done, tomllib.loads(path.read_text("utf-8"))


PIECE = """
title > Window bench
words >
code >
length >
width >
height >
quantity >
client name >
client address >
client email >
"""
SEAT = f"""
{MADE_OF} > a part of solid wood
part > seat
species > red oak
length > 40 in
width > 12 in
thickness > 3/4 in
quantity > 1
glued up > yes
joints >
"""
END = f"""
{MADE_OF} >
{DELIVER} >
{CHANGE} >
"""


def test_back_goes_to_the_question_before(shop: Path) -> None:
    """Within a part, and from the list into the last part; what was said stands there to be changed."""
    talk, raw = talked(
        shop,
        PIECE.lstrip()
        + SEAT.strip().replace("thickness > 3/4 in", "thickness > back\nwidth > 13 in\nthickness > 3/4 in")
        + f"""
{MADE_OF} > {BACK}
joints > {BACK}
glued up > {BACK}
quantity > 2
glued up > no
joints > {SAME}
"""
        + END.lstrip(),
    )
    (seat,) = raw["hardwood"]
    assert (seat["width"], seat["quantity"]) == ("13 in", 2)
    assert "glued_up" not in seat
    assert "12 in" in talk.now
    assert "1" in talk.now


def test_back_leads_out_of_what_was_opened(shop: Path) -> None:
    """From the first question of a part, and through client and piece to the title; from the delivery to the parts; nothing is left of it."""
    _, raw = talked(
        shop,
        f"""
title > {BACK}
title > Bench
words > low
code > {BACK}
words > {SAME}
code >
length >
width >
height >
quantity >
client name > {BACK}
quantity > {BACK}
height > 17 in
quantity >
client name > {BACK}
quantity >
client name > M. Aalto
client address >
client email >
{MADE_OF} > a part of solid wood
part > {BACK}
{MADE_OF} > {BACK}
client email > {BACK}
client address > {BACK}
client name > {SAME}
client address >
client email >
{MADE_OF} >
{DELIVER} > yes
road distance > {BACK}
{DELIVER} > {BACK}
{MADE_OF} >
{DELIVER} >
{CHANGE} > {BACK}
{DELIVER} >
{CHANGE} >
""",
    )
    assert raw == {
        "format": 1,
        "piece": {"title": "Bench", "words": "low", "height": "17 in"},
        "client": {"name": "M. Aalto"},
    }


def test_an_empty_answer_opens_nothing(shop: Path) -> None:
    """Enter at the list ends it; Enter at the first question of any part or of the delivery leaves the job as it was."""
    opened = "".join(
        f"{MADE_OF} > {asked()[trade]['said']}\n{questions(trade)[0].field.replace('_', ' ')} >\n"
        for trade in trades()
    )
    _, raw = talked(
        shop,
        PIECE.lstrip() + opened + f"{MADE_OF} >\n{DELIVER} > yes\nroad distance >\n{DELIVER} >\n{CHANGE} >",
    )
    assert raw == {"format": 1, "piece": {"title": "Window bench"}}


def test_a_part_may_be_called_back(shop: Path) -> None:
    """In quotes, where the word alone goes back; asked again, it stands there with them."""
    seat = SEAT.strip().replace("part > seat", 'part > "back"')
    talk, raw = talked(
        shop, PIECE.lstrip() + seat + END.replace(f"{CHANGE} >", f"{CHANGE} > 4\npart > {SAME}\n{CHANGE} >")
    )
    assert raw["hardwood"][0]["part"] == "back"
    assert '"back"' in talk.now


def test_all_that_was_said_is_listed_and_changed_by_its_number(shop: Path) -> None:
    """One answer, all of a part, a new title, one part more, a part taken out; the price is told anew, the file follows."""
    listed = f"""
{MADE_OF} >
{DELIVER} > yes
road distance > 12 mi
flights >
crew >
install hours >
{CHANGE} > 7
width > 13 in
{CHANGE} > 3
part > bench top
species > {SAME}
length > 41 in
width > {SAME}
thickness > {SAME}
quantity > {SAME}
glued up >
joints > 1
{CHANGE} > 2
title > Door bench
{CHANGE} > {ADD}
{MADE_OF} > a part of solid wood
part > leg
species > red oak
length > 16 in
width > 1 3/4 in
thickness > 1 3/4 in
quantity > 4
glued up >
joints >
{MADE_OF} >
{CHANGE} > 20
road distance > 15 mi
{CHANGE} > 4
part >
{CHANGE} >
"""
    talk, raw = talked(shop, PIECE.lstrip() + SEAT.strip() + listed)
    assert raw == {
        "format": 1,
        "piece": {"title": "Door bench"},
        "hardwood": [
            {"part": "leg", "species": "red oak", "length": "16 in", "width": "1 3/4 in", "thickness": "1 3/4 in", "quantity": 4},
        ],
        "delivery": {"road_distance": "15 mi"},
    }  # fmt: skip
    assert (shop / "jobs" / "door-bench.toml").exists()
    assert not (shop / "jobs" / "window-bench.toml").exists()
    assert "   1  the piece" in talk.said
    assert "   2    title: Window bench" in talk.said
    assert "   7    width: 12 in" in talk.said
    assert talk.said.index("   7    width: 13 in") < talk.said.index("   2    title: Door bench")


def test_a_number_that_is_none_is_told(shop: Path) -> None:
    """The list is asked for again."""
    ask = script(**{CHANGE: ["99", "x", ""]})
    interview(ask, shop, shop / "jobs", TODAY)
    assert [one for one in ask.refused if "write a number from 1 to" in one and ("99" in one or "x" in one)]


@pytest.mark.parametrize("written", ["yes", "no"])
def test_a_row_of_the_price_file_is_shown_and_written_on_yes(shop: Path, written: str) -> None:
    """For what the price file lacks: its price is asked for, wrong ones are told; on yes the row is there and the part has a price."""
    book = shop / "prices.csv"
    before = book.read_bytes()
    row = "oak knobs,each,2.50,,,,2027-03-01,"
    rest = "" if written == "yes" else f"\n{UNPRICED} > {LEAVE}"
    talk, raw = talked(
        shop,
        PIECE.lstrip()
        + f"""{MADE_OF} > something bought ready: hardware, feet, a lamp
item > oak knobs
quantity > 4
price >
prices.csv has no "oak knobs". Write a row for it? > yes
price of one each > 2.50
Write this row into prices.csv: {row} > {written}{rest}"""
        + END,
    )
    assert ("buy" in raw) == (written == "yes")
    assert book.read_bytes() == before + (f"{row}\n".encode() if written == "yes" else b"")
    assert any("So far" in said for said in talk.said) == (written == "yes")


def test_no_row_is_asked_for_where_nobody_wants_one(shop: Path) -> None:
    """Enter is no; then it is decided on as before."""
    before = (shop / "prices.csv").read_bytes()
    opened = f"""{MADE_OF} > something bought ready: hardware, feet, a lamp
item > oak knobs
quantity > 4
price >
prices.csv has no "oak knobs" >
{UNPRICED} > {KEEP}"""
    _, raw = talked(shop, PIECE.lstrip() + opened + END)
    assert raw["buy"] == [{"item": "oak knobs", "quantity": "4"}]
    assert (shop / "prices.csv").read_bytes() == before


def test_finish_areas_are_offered_from_the_sizes_of_parts(shop: Path) -> None:
    """All sides of the parts with their like, together and one by one: 2 x 40 x 12 + 2 x 52 x 3/4 in2 of a seat."""
    leg = (
        SEAT.replace("seat", "leg")
        .replace("40 in", "16 in")
        .replace("12 in", "1 3/4 in")
        .replace("3/4 in\nq", "1 3/4 in\nq")
        .replace("quantity > 1", "quantity > 4")
    )
    talk, _ = talked(
        shop,
        PIECE.lstrip() + SEAT.strip() + leg
        + f"""{MADE_OF} > oil or varnish
part > oil
area > 11 ft2
product > hard wax oil
coats >"""
        + END,
    )  # fmt: skip
    seat_ft2, leg_ft2 = (2 * 40 * 12 + 2 * 52 * 0.75) / 144, 4 * (2 * 1.75 * 1.75 + 4 * 16 * 1.75) / 144
    offered = next(one for one in talk.offered if one and one[0].endswith("ft2"))
    found = [float(one.removesuffix(" ft2")) for one in offered]
    assert found == pytest.approx(
        [seat_ft2 + leg_ft2, seat_ft2, leg_ft2], rel=0.005
    )  # three digits that count
    assert any(said.startswith("  All sides of your parts: together: ") for said in talk.said)
