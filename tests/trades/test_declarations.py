"""What trades declare is whole, and true."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import MISSING, fields
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from trades.packages import ROOT, cord_seats, installed

from quoting import declaration, runs
from quoting.__main__ import run
from quoting.costing.needs import take_offs
from quoting.declaration import Trade
from quoting.job.load import load
from quoting.job.starters import shipped
from quoting.pick import likely
from quoting.trades import registry
from quoting.trades.registry import trades

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

JOBS = sorted(Path(str(shipped("sample_jobs"))).glob("*/jobs/*.toml"))

USUAL = ("take_off", "always", "without", "outside")
"""What every trade has, by default or of its own: where its equations stand, and how it is told."""
RESTING_ON = {"several": "alike", "step": "chain", "rest": "chain"}
"""What has a meaning only beside another field."""


# --- each thing a trade can offer is given, or said not to apply


def offers() -> dict[str, object]:
    """What a trade can offer, with what stands there where it offers nothing."""
    return {
        one.name: one.default
        for one in fields(Trade)
        if one.default is not MISSING and one.name not in (*USUAL, *RESTING_ON)
    }


def left_open(trade: Trade) -> list[str]:
    """What a trade neither gives nor says not to apply, and what it does both of."""
    given = {name for name, nothing in offers().items() if getattr(trade, name) != nothing}
    return sorted((given & set(trade.without)) | (set(offers()) ^ (given | set(trade.without))))


@pytest.mark.parametrize("name", trades())
def test_a_trade_leaves_nothing_open(name: str) -> None:
    trade = trades()[name]
    assert left_open(trade) == []
    assert bool(trade.several) == (trade.alike == "own")
    assert bool(trade.step) == bool(trade.chain)
    assert not trade.rest or trade.chain


def test_what_is_left_open_or_said_twice_is_found() -> None:
    whole = {name: getattr(trades()["glass"], name) for name in (one.name for one in fields(Trade))}
    without = whole.pop("without")
    assert left_open(Trade(**whole, without=without[1:])) == [without[0]]
    assert left_open(Trade(**whole, without=(*without, "made"))) == ["made"]
    assert left_open(Trade(**whole, without=(*without, "wheels"))) == ["wheels"]


def test_everything_that_a_trade_names_is_there() -> None:
    for trade in trades().values():
        for what in trade.code:
            assert callable(trade.named(what)), f"{trade.name}: {what}"


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
def test_take_offs_give_no_more_than_their_trades_declare(job: Path) -> None:
    """Drivers that are not declared could not be named in a shop file, facts would not be told, groups have no sheet."""
    taken = take_offs(load(job), likely)
    assert taken
    for one in taken:
        trade = trades()[one.trade]
        assert set(one.take_off.drivers) <= set(trade.drivers), one.trade
        assert set(one.take_off.facts) <= {fact.name for fact in trade.facts}, one.trade
        bought = {need.trade for need in one.take_off.needs if need.kind not in ("labour", "machine")}
        assert bought <= {group.name for group in trade.groups}, one.trade


# --- packages that bring trades


@pytest.fixture
def bring(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str, str, str], None]]:
    """Let a package bring a trade to this process: its name, that of the trade, and its code."""
    site = tmp_path / "site"
    site.mkdir()
    there = set(sys.modules)
    monkeypatch.syspath_prepend(str(site))

    def added(package: str, trade: str, code: str) -> None:
        module = package.replace("-", "_")
        (site / module).mkdir()
        (site / module / "__init__.py").write_text(code, "utf-8")
        for name in ("record", "equations"):
            (site / module / f"{name}.py").write_text(f"from quoting.trades.buy.{name} import *\n", "utf-8")
        installed(site, package, "0.3", trade, f"{module}:TRADE")
        registry.forget()

    yield added
    monkeypatch.undo()
    for module in set(sys.modules) - there:
        if str(getattr(sys.modules[module], "__file__", "")).startswith(str(site)):
            del sys.modules[module]
    declaration._found.cache_clear()
    registry.forget()
    assert set(trades()) == set(registry.PRINTED)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """The first job of a new shop."""
    runs.start(tmp_path / "shop")
    return tmp_path / "shop" / "jobs" / "first-bench.toml"


def naming(job: Path, trade: str) -> Path:
    """The job with a part of a trade."""
    job.write_text(f'{job.read_text("utf-8")}\n[[{trade}]]\npart = "back"\n', "utf-8")
    return job


DECLARED = """
from quoting.declaration import Group, Section, Trade
TRADE = Trade(name="{name}", home=__name__, record="record:Buy", alike="each", stored=(("Reed", "record:Buy"),), {more})
"""
BROKEN = {
    "found a trade of reed-mats 0.3 that cannot be read: ModuleNotFoundError: No module named 'loom_of_reeds'; mend reed-mats 0.3, or take it off": "import loom_of_reeds",
    "cannot be read: TypeError: reed_mats:TRADE is no Trade": "TRADE = 7",
    "cannot be read: ValueError: it is called mat by its package and reed by its entry point": DECLARED.format(name="mat", more=""),
    "cannot be read: AttributeError: module 'reed_mats.equations' has no attribute 'weave'": DECLARED.format(
        name="reed", more='doubts="equations:weave"'
    ),
    "cannot be read: SystemExit: 3": "import sys; sys.exit(3)",
    "its record has no field reeds": DECLARED.format(name="reed", more='material="field:reeds"'),
    "its record has no field outline": DECLARED.format(name="reed", more="shaped=True"),
    "it does not say how several are multiplied": DECLARED.format(name="reed", more="").replace('"each"', '"own"'),
    "record:Buy has no word that it is stored under": DECLARED.format(name="reed", more="").replace("stored", "groups=(), stored").replace('(("Reed", "record:Buy"),)', "()"),
    'its group "labour" is not called by the name of the trade': DECLARED.format(name="reed", more='groups=(Group("labour", "Work"),)'),
    '"Reed/Mats" is no title of a sheet': DECLARED.format(name="reed", more='groups=(Group("reed", "Reed/Mats"),)'),
    "its caution fumes has no words": DECLARED.format(name="reed", more='cautions=("fumes",)'),
    "its shop.toml has no section reed": DECLARED.format(name="reed", more='sections=(Section("reed", "record:Buy"),)'),
    '"pay" is a name of the house': DECLARED.format(name="reed", more='sections=(Section("pay", "record:Buy"),)'),
    'found a section "timber" from quoting and from reed-mats 0.3; take reed-mats 0.3 off': DECLARED.format(
        name="reed", more='sections=(Section("timber", "record:Buy", needed=False),)'
    ),
}  # fmt: skip


@pytest.mark.parametrize(("words", "code"), BROKEN.items(), ids=[words[-40:] for words in BROKEN])
def test_a_broken_package_stops_only_jobs_that_name_its_trade(
    words: str, code: str, bring: Callable[[str, str, str], None], bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    assert run(["price", str(bench), "--json"]) == 0
    before = capsys.readouterr()
    bring("reed-mats", "reed", code)
    assert run(["price", str(bench), "--json"]) == 0
    assert capsys.readouterr() == before
    line = bench.read_text("utf-8").count("\n") + 2
    assert run(["price", str(naming(bench, "reed"))]) == 2
    said = capsys.readouterr().err
    assert said.startswith(f"{bench.name}:{line}: reed: ")
    assert words in said


@pytest.mark.parametrize("name", ["piece", "packing", "job"])
def test_a_trade_called_as_the_house_calls_something_is_not_used(
    name: str, bring: Callable[[str, str, str], None], bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["price", str(bench)]) == 0
    before = capsys.readouterr().out
    bring("reed-mats", name, DECLARED.format(name=name, more=""))
    assert run(["price", str(bench)]) == 0
    assert capsys.readouterr().out == before
    assert run(["check", str(bench)]) == 0
    assert f'not used: {name}: found a trade of reed-mats 0.3 that cannot be read: ValueError: "{name}" is a name of the house' in " ".join(capsys.readouterr().out.split())  # fmt: skip


def test_a_trade_of_the_house_is_never_taken_over(
    bring: Callable[[str, str, str], None], bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bring("reed-mats", "glass", DECLARED.format(name="glass", more=""))
    assert not trades()["glass"].outside
    assert registry.missing("glass") is None
    assert run(["check", str(bench)]) == 0
    assert "found a trade of this name from quoting and from reed-mats 0.3; take reed-mats 0.3 off." in " ".join(capsys.readouterr().out.split())  # fmt: skip


def test_of_two_packages_of_one_trade_neither_is_used(
    bring: Callable[[str, str, str], None], bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for package in ("reed-mats", "mats-of-reed"):
        bring(package, "reed", DECLARED.format(name="reed", more=""))
    assert run(["price", str(bench)]) == 0
    capsys.readouterr()
    assert run(["check", str(naming(bench, "reed"))]) == 2
    said = capsys.readouterr().err
    assert "reed: found a trade of this name from " in said
    assert "mats-of-reed 0.3" in said
    assert "reed-mats 0.3" in said
    assert "take one of the two packages off" in said


FILES = {
    "words.toml": ("words = [", "TOMLDecodeError"),
    "words.toml ": ("label = 3\n", "label of its words.toml cannot be read"),
    "words.toml  ": ("[wheels]\n", "wheels of its words.toml cannot be read"),
    "words.toml   ": ("[page]\nwords = 3\n", "page of its words.toml cannot be read"),
    "job.toml": ("#[[hardwood]]\n#part = \"leg\"\n", "its job.toml has a section hardwood"),
    "shop.toml": ("[tax]\n#rate = \"5 %\"\n", "its shop.toml has a section tax that it does not declare"),
    "standard.toml": ("#[standard.sanding]\n#per = \"part\"\n#applies_to = [\"reed\"]\n", "its operation sanding is one of the house"),
    "standard.toml ": ("#[standard.blessing]\n#per = \"part\"\n#applies_to = [\"hardwood\"]\n", "its operation blessing acts on more than its own parts"),
}  # fmt: skip


@pytest.mark.parametrize(("file", "text", "words"), [(name, *one) for name, one in FILES.items()])
def test_a_file_of_a_package_moves_no_price_of_others(
    file: str, text: str, words: str, bring: Callable[[str, str, str], None], tmp_path: Path, bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    assert run(["price", str(bench), "--json"]) == 0
    before = capsys.readouterr().out
    bring("reed-mats", "reed", DECLARED.format(name="reed", more=""))
    (tmp_path / "site" / "reed_mats" / file.strip()).write_text(text, "utf-8")
    registry.forget()
    assert run(["price", str(bench), "--json"]) == 0
    assert capsys.readouterr().out == before
    assert run(["price", str(naming(bench, "reed"))]) == 2
    assert words in capsys.readouterr().err


FAULTS = {
    "RuntimeError: the loom is broken": "raise RuntimeError('the loom is broken')",
    'a line of a group "reeds" that it does not declare': "return replace(buy(part, shop, tables, pick), needs=tuple(replace(one, trade='reeds') for one in buy(part, shop, tables, pick).needs))",
}  # fmt: skip


@pytest.mark.parametrize(("words", "code"), FAULTS.items(), ids=["raises", "group"])
def test_a_fault_of_a_package_is_told_as_its_own(
    words: str, code: str, bring: Callable[[str, str, str], None], tmp_path: Path, bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    bring("reed-mats", "reed", DECLARED.format(name="reed", more='groups=(Group("reed", "Reed"),)'))
    equations = "from dataclasses import replace\nfrom quoting.trades.buy.equations import take_off as buy\n"
    equations += f"def take_off(part, shop, tables, pick):\n    {code}\n"
    (tmp_path / "site" / "reed_mats" / "equations.py").write_text(equations, "utf-8")
    job = naming(bench, "reed")
    job.write_text(f'{job.read_text("utf-8")}item = "mat"\nquantity = 1\nprice = "3"\n', "utf-8")
    assert run(["price", str(job)]) == 2
    said = capsys.readouterr().err
    assert f"found a fault of reed-mats 0.3: {words}; mend reed-mats 0.3, or take it off." in said


def test_a_trade_that_comes_later_is_known_everywhere_once_all_is_forgotten(
    bring: Callable[[str, str, str], None], bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = naming(bench, "reed")
    assert run(["check", str(job)]) == 2
    assert "reed: found a section that does not exist here" in capsys.readouterr().err
    bring("reed-mats", "reed", DECLARED.format(name="reed", more=""))
    assert trades()["reed"].outside == "reed-mats 0.3"
    assert run(["check", str(job)]) == 2
    said = capsys.readouterr().err
    assert "reed.1.item: found nothing" in said
    assert "found a section" not in said


def test_no_code_of_a_shop_folder_is_run(bench: Path, tmp_path: Path) -> None:
    """A package that lies in a shop folder brings nothing, even where commands are run from there."""
    shop = bench.parents[1]
    cord_seats(shop)
    mark = tmp_path / "was run"
    code = shop / "cord_seats" / "__init__.py"
    code.write_text(f"{code.read_text('utf-8')}\nopen({os.fspath(mark)!r}, 'w').close()\n", "utf-8")
    for cwd, wanted in ((shop, False), (tmp_path, True)):
        done = subprocess.run(
            [sys.executable, "-m", "quoting", "price", bench],
            cwd=cwd,
            env={**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), *([str(shop)] if wanted else [])])},
            capture_output=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert mark.exists() == wanted  # it would be run where it is installed
