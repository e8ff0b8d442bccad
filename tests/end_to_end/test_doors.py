"""Recipes as any door calls them: out of threads, under a key that is said twice, for what somebody was shown; they look at the world
through their arguments alone.
"""

from __future__ import annotations

import ast
import shutil
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from threading import Barrier
from typing import TYPE_CHECKING, Any

import pytest
from end_to_end.command import edited
from end_to_end.ledgers import logged, ran
from sharing import DAY

import quoting
from quoting.errors import Halted, Problems
from quoting.ledger import quotes
from quoting.ledger.store import LEDGER_FILE, reading
from quoting.logbook.saying import Saying
from quoting.runs import cut as cutting
from quoting.runs import issuing
from quoting.runs.builds import review_all
from quoting.runs.learn import learn
from quoting.runs.log import Origin, log, void
from quoting.runs.pricing import halting, quote
from quoting.runs.risk import risk

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

HOUSE = Path(quoting.__file__).parent
COUNTER = "2026-002"
TAP = Saying(kind="hours", value="2 h", task="sanding")
PAGE = Origin("page", "tap 7f3a")
MANY = 8


@pytest.fixture
def shop(samples: Path) -> Path:
    """The sample shop, without a ledger."""
    return samples / "tern_hollow"


def told(words: str) -> None:
    """Nobody waits."""


def at_once(do: Callable[[], Any]) -> list[Any]:
    """What comes of doing something in many threads at the same moment."""
    together = Barrier(MANY)

    def done(_: int) -> Any:
        together.wait()
        return do()

    with ThreadPoolExecutor(MANY) as threads:
        return list(threads.map(done, range(MANY)))


# --- the world comes in by arguments

LOOKS = {
    "date.today", "datetime.now", "datetime.today", "datetime.utcnow", "time.time", "time.localtime", "Path.cwd", "Path.home", "os.getcwd",
    "os.environ", "os.getenv", "os.putenv", "signal.signal", "getpass.getuser", "os.getlogin", "locale.setlocale", "warnings.simplefilter",
    "warnings.filterwarnings", "warnings.catch_warnings", "sys.stdin", "sys.stdout", "sys.stderr", "print", "input",
}  # fmt: skip
DOORS = ("api", "cli", "__main__.py")


def looks(path: Path) -> Iterator[str]:
    """Every place of a module where it looks at the world, or changes what all of its process share."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        called = isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        if isinstance(node, ast.Attribute) or called:
            name = ast.unparse(node.func if isinstance(node, ast.Call) else node)
            if name in LOOKS:
                yield f"{path.relative_to(HOUSE)}:{node.lineno}: {name}"


def test_only_doors_look_at_the_world() -> None:
    modules = {path: list(looks(path)) for path in HOUSE.rglob("*.py")}
    below = {path: found for path, found in modules.items() if path.relative_to(HOUSE).parts[0] not in DOORS}
    assert [one for found in below.values() for one in found] == []
    assert any(found for path, found in modules.items() if path not in below), (
        "the search finds nothing anywhere"
    )


# --- long work ends where whoever waits says so


def test_a_cut_plan_in_a_thread_ends_when_it_is_asked_to_and_keeps_its_best(shop: Path) -> None:
    job, asked = shop / "jobs" / "boot_cupboard.toml", cutting.Asked(60, None, False)
    steps: list[str] = []
    with ThreadPoolExecutor(1) as threads:
        found = threads.submit(
            cutting.cut, job, None, DAY, (), asked, steps.append, lambda: len(steps) > 1
        ).result(30)
    assert found.interrupted
    assert all(plan.stocks for plan in found.brief.plans)
    assert [words for words in steps if "to go" in words] == steps


@pytest.mark.parametrize(
    "work",
    [
        lambda shop, step: risk(shop / "jobs" / "lectern.toml", None, DAY, (), 60_000, 1, None, False, step),
        lambda shop, step: quote(
            shop / "jobs" / "lectern.toml", None, DAY, (), shop / "out", False, False, step
        ),
        lambda shop, step: review_all(shop, step),
        lambda shop, step: learn(shop, DAY, (), True, step),
    ],
    ids=["risk", "papers", "review of all", "learning"],
)
def test_long_work_in_a_thread_tells_its_steps_and_ends_before_any_of_them(
    book: Path, work: Callable[[Path, Callable[[str], None]], object]
) -> None:
    """Whichever step it is asked at, nothing is written."""
    steps: list[str] = []
    with ThreadPoolExecutor(1) as threads:
        threads.submit(work, Path(shutil.copytree(book, book.parent / "whole")), steps.append).result(60)
        assert len(steps) >= 3
        before = {path: path.read_bytes() for path in book.rglob("*") if path.is_file()}
        for last in (1, len(steps) - 1):
            seen: list[str] = []
            halt = lambda seen=seen, last=last: len(seen) >= last  # noqa: E731
            with pytest.raises(Halted):
                threads.submit(work, book, halting(seen.append, halt)).result(60)
            assert seen == steps[:last]
    assert {path: path.read_bytes() for path in book.rglob("*") if path.is_file()} == before


# --- one key, one entry


def test_a_tap_that_arrives_eight_times_at_once_is_one_entry(book: Path) -> None:
    before = len(logged(book, COUNTER)["entries"])
    found = at_once(lambda: log(book, DAY, COUNTER, TAP, "", PAGE, told))
    assert sum(len(one.added) for one in found) == 1
    entry = next(one.added[0] for one in found if one.added)
    assert [one.before for one in found if not one.added] == [entry] * (MANY - 1)
    there = logged(book, COUNTER)["entries"]
    assert len(there) == before + 1
    assert there[-1]["source"] == "page"


def test_the_same_tap_after_midnight_is_still_the_same(book: Path) -> None:
    first = log(book, DAY, COUNTER, TAP, "", PAGE, told).added[0]
    again = log(book, DAY + timedelta(days=1), COUNTER, TAP, "", PAGE, told)
    assert (again.added, again.before) == ((), first)


@pytest.mark.parametrize(
    "ask",
    [
        lambda book: log(book, DAY, COUNTER, replace(TAP, value="3 h"), "", PAGE, told),
        lambda book: log(book, DAY, "shop", TAP, "", PAGE, told),
        lambda book: void(book, DAY, COUNTER, Saying(kind="void", value="1"), PAGE, told),
    ],
    ids=["another amount", "another piece", "taken back"],
)
def test_a_key_that_was_used_for_something_else_is_refused(book: Path, ask: Callable[[Path], object]) -> None:
    log(book, DAY, COUNTER, TAP, "", PAGE, told)
    before = logged(book, COUNTER)
    with pytest.raises(
        Problems, match=r'^key: found "tap 7f3a" again, under which something else was asked \(entry'
    ) as wrong:
        ask(book)
    assert wrong.value.problems[0].code == "key_used"
    assert wrong.value.said("terminal").startswith("--key: ")
    assert logged(book, COUNTER) == before


def test_an_entry_is_taken_back_once_under_one_key(book: Path) -> None:
    entry = log(book, DAY, COUNTER, TAP, "", PAGE, told).added[0]
    back, key = Saying(kind="void", value=str(entry.id)), Origin("page", "tap 7f3b")
    counter = void(book, DAY, COUNTER, back, key, told).added[0]
    assert void(book, DAY, COUNTER, back, key, told).before == counter


def test_an_entry_is_replaced_once_under_one_key(book: Path) -> None:
    wrong = log(book, DAY, COUNTER, TAP, "", PAGE, told).added[0]
    asked = (COUNTER, replace(TAP, value="1 h"), str(wrong.id), Origin("page", "tap 7f3c"), told)
    counter, right = log(book, DAY, *asked).added
    assert (counter.kind, counter.counters, right.kind) == ("void", wrong.id, "hours")
    assert log(book, DAY, *asked).before == right


def test_the_command_takes_a_key_too(book: Path) -> None:
    words = ("log", COUNTER, "hours", "1 h", "sanding", "--key", "from my notes, line 3")
    assert "logged" in ran(book, *words)
    assert "has it already, as entry" in ran(book, *words)
    assert logged(book, COUNTER)["entries"][-1]["source"] == "terminal"
    assert "--key: found" in ran(book, *words[:3], "2 h", *words[4:], status=2)
    assert "write at most 200" in ran(book, *words[:-1], "k" * 201, status=2)
    assert "leave it out" in ran(book, "log", "--csv", "none.csv", "--key", "k", status=2)


# --- what was shown is what is issued


def issue(job: Path, **asked: Any) -> issuing.IssuedNow:
    """Issue a job by the recipe."""
    return issuing.issue(job, None, DAY, issuing.Asked(**asked), None, told, told)


def numbers(shop: Path) -> list[str]:
    """What the ledger holds."""
    with reading(shop) as book:
        return [str(one.number) for one in quotes.every(book)]


def test_a_confirmation_that_arrives_eight_times_at_once_is_one_quote(shop: Path) -> None:
    job = shop / "jobs" / "ash_bench.toml"
    shown = issuing.preview(job, None, DAY, issuing.Asked(), told)
    assert not (shop / LEDGER_FILE).exists()
    found = at_once(lambda: issue(job, confirmed=shown.fingerprints, token="c4"))
    assert [one.before for one in found].count(False) == 1
    assert {str(one.issued.number) for one in found} == {shown.priced.number}
    assert numbers(shop) == [shown.priced.number]
    assert {path.name: path.read_bytes() for path in found[0].written} == shown.files


def test_a_token_gives_its_quote_whatever_became_of_the_job(shop: Path) -> None:
    """An answer that was lost on its way is asked for once more; by then the job may be another, or none that can be read."""
    job = shop / "jobs" / "ash_bench.toml"
    first = issue(job, token="c4")
    job.write_text("no job at all", encoding="utf-8")
    for path in first.written:
        path.unlink()
    again = issue(job, token="c4")
    assert (again.before, again.issued, again.priced.chain.total) == (
        True,
        first.issued,
        first.priced.chain.total,
    )
    assert all(path.is_file() for path in again.written)
    with pytest.raises(
        Problems, match=r'token: found "c4" again, under which something else was asked \(an issued quote'
    ):
        issue(shop / "jobs" / "lectern.toml", token="c4")
    assert numbers(shop) == ["2027-001"]


CHANGES: dict[str, Callable[[Path], object]] = {
    "lectern.toml": lambda shop: edited(shop / "jobs" / "lectern.toml", "[piece]", "# moved\n[piece]"),
    "shop.toml": lambda shop: edited(shop / "shop.toml", "[shop]", "# moved\n[shop]"),
    "prices.csv": lambda shop: (shop / "prices.csv").write_text(
        (shop / "prices.csv").read_text(encoding="utf-8") + "\n", encoding="utf-8"
    ),
    "wording.toml": lambda shop: (shop / "wording.toml").write_text(
        '[quote]\ntotal = "In all"\n', encoding="utf-8"
    ),
    "piece.png": lambda shop: shutil.copy(
        HOUSE.parent / "tests" / "pictures" / "risk.png", shop / "jobs" / "piece.png"
    ),
}


@pytest.mark.parametrize(
    "name",
    [name if i < 2 else pytest.param(name, marks=pytest.mark.exhaustive) for i, name in enumerate(CHANGES)],
)
def test_what_changed_since_it_was_shown_is_named_and_nothing_is_issued(shop: Path, name: str) -> None:
    job = shop / "jobs" / "lectern.toml"
    edited(job, "[piece]", '[piece]\npicture = "piece.png"')
    shutil.copy(HOUSE.parent / "tests" / "pictures" / "price.png", shop / "jobs" / "piece.png")
    shown = issuing.preview(job, None, DAY, issuing.Asked(), told).fingerprints
    CHANGES[name](shop)
    with pytest.raises(Problems) as wrong:
        issue(job, confirmed=shown)
    assert wrong.value.problems[0].code == "changed"
    assert [str(one) for one in wrong.value.problems] == [
        f"{name}: changed since the quote was shown; look at it once more, then confirm it."
    ]
    assert not (shop / LEDGER_FILE).exists()
    agreed = issuing.preview(job, None, DAY, issuing.Asked(), told).fingerprints
    assert str(issue(job, confirmed=agreed).issued.number).endswith("-001")


def test_a_quote_of_today_that_is_confirmed_after_midnight_is_shown_once_more(shop: Path) -> None:
    job = shop / "jobs" / "ash_bench.toml"
    text = "\n".join(
        line for line in job.read_text(encoding="utf-8").splitlines() if not line.startswith("date =")
    )
    job.write_text(text, encoding="utf-8")
    shown = issuing.preview(job, None, DAY, issuing.Asked(), told).fingerprints
    asked = issuing.Asked(confirmed=shown)
    with pytest.raises(Problems, match="the day of the quote: changed since the quote was shown"):
        issuing.issue(job, None, DAY + timedelta(days=1), asked, None, told, told)
    assert issuing.issue(job, None, DAY, asked, None, told, told).issued.face.day == DAY
