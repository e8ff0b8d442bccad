"""The guide for contributors is true: its trade is a package that works, and its page is no longer than what it shows."""

from __future__ import annotations

import json
import re
from pkgutil import resolve_name
from typing import TYPE_CHECKING

from trades.packages import ROOT, commands, installed

from quoting import __version__

if TYPE_CHECKING:
    from pathlib import Path

BLOCK = re.compile(
    r"^```(?:python|toml)\n# (lacing/[a-z_]+\.(?:py|toml))\n(.*?)^```$", re.DOTALL | re.MULTILINE
)
TRAY = """format = 1
[piece]
title = "Laced tray"
[delivery]
collect = true
[[lacing]]
part = "rim"
edge = "4 ft"
pitch = "1/4 in"
lace = "calf lace"
waste = "10 %"
"""


def test_the_trade_of_the_guide_prices_explains_and_quotes(tmp_path: Path) -> None:
    """Written down from the page as it stands, it needs nothing else."""
    site = installed(tmp_path / "site", "lacing", "0.1", "lacing", "lacing:TRADE")
    blocks = BLOCK.findall((ROOT / "DEVELOPERS.md").read_text("utf-8"))
    assert len(blocks) == 6
    for name, text in blocks:
        path = site / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
    shop = tmp_path / "shop"
    (job := tmp_path / "tray.toml").write_text(TRAY, "utf-8")
    (made,) = commands(tmp_path, [("start", shop)], site)
    assert made.status == 0, made.err
    with (shop / "prices.csv").open("a", encoding="utf-8") as book:
        book.write("calf lace,m,2.00,,,,\n")
    priced, explained, quoted = commands(
        tmp_path,
        [
            ("price", job, "--shop", shop, "--json"),
            ("explain", "lacing"),
            ("quote", job, "--shop", shop, "--out", tmp_path / "out"),
        ],
        site,
    )
    assert priced.status == 0, priced.err
    found = json.loads(priced.out)
    # 3.5 x 4 ft (1.2192 m exactly) x 1.1, at 2.00 a metre; 192 holes of 1/4 in at the likely 30 s
    assert found["quantities"]["lace_m"] == 3.5 * 1.2192 * 1.1
    lines = {line["id"]: line for line in found["lines"]}
    assert lines["lacing.rim.lace"]["amount"] == "9.39"
    assert lines["lacing.rim.lacing"]["quantity"] == 192 * 30 / 3600
    assert found["cost"]["lacing"] == "9.39"
    assert "whip stitch" in explained.out
    assert (quoted.status, sorted(path.suffix for path in (tmp_path / "out").glob("*.*"))[-1]) == (0, ".xlsx")


def test_the_newest_changes_are_those_of_this_version() -> None:
    """`quoting --version` says the version that heads the changes."""
    changes = (ROOT / "README.md").read_text("utf-8").partition("\n## Changes\n")[2]
    assert re.findall(r"^### (\S+)$", changes, re.MULTILINE)[0] == __version__


NAMED = re.compile(r"`([a-z_]+(?:\.[A-Za-z_]+)+)`")
FILES = (".py", ".toml", ".sqlite")


def test_what_the_guide_names_is_there() -> None:
    """Rooms, modules and what stands in them, as `room.module.name`; what is no room of the package is a field or a library."""
    rooms = {one.stem for one in (ROOT / "quoting").iterdir()}
    found = NAMED.findall((ROOT / "DEVELOPERS.md").read_text("utf-8"))
    named = [name for name in found if name.split(".")[0] in rooms and not name.endswith(FILES)]
    assert len(named) > 20
    for name in named:
        assert resolve_name(f"quoting.{name}") is not None, name
