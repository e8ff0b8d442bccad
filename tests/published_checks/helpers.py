"""A workshop that adds nothing of its own, and published values as rows: what every check here starts from."""

from __future__ import annotations

import csv
import json
import tomllib
from pathlib import Path
from typing import Any

import tomlkit

from quoting.__main__ import run
from quoting.job.starters import merged

PUBLISHED = Path(__file__).resolve().parent.parent / "published"

INCH_M = 0.0254  # exact by definition (NIST SP 811)
POUND_KG = 0.45359237  # exact by definition (NIST SP 811)
GALLON_L = 3.785411784  # 231 cubic inches, exact (NIST SP 811)
LETTER_M2 = 0.2159 * 0.2794  # 8 1/2 x 11 in

# No reserve, no fees, no allowances and no office hours: what a job states is all that it costs.
BARE_SHOP = """
format = 1
[shop]
name = "Plover Row Workshop"
currency = "USD"
office_time = "overhead"
[pay.owner]
rate = 0
[overhead]
rent = 0
sold_hours = 1000
[timber]
planing_allowance = "0 in"
length_allowance = "0 in"
width_allowance = "0 in"
waste = "0 %"
[laminate]
spoilage = "0 %"
bleed = "0 L/m2"
wet_out = "0 g/m2"
mixing_loss = "0 %"
[casting]
extra = "0 %"
mixing_loss = "0 %"
[coating]
run_off = "0 %"
mixing_loss = "0 %"
[standard.assembly]
applies_to = []
[standard.machine_setup]
applies_to = []
[pace]
factor = 1
[pricing]
margin = "0 %"
floor_margin = "0 %"
reserve = "0 %"
round_to = 0.01
after_sale = "0 %"
[tax]
registered = false
[resin."plain resin"]
density = "1.10 kg/L"
working_time = "5 h"
cure_time = "12 h"
pour_depth = "50 mm"
most_in_one_mix = "2 L"
"""

BAGGING_PRICES = """
letter sheet,each,0.02
plain resin,L,20
bag film,m2,2
sealant tape,m,1
peel ply,m2,4
breather,m2,3
"""

# Finished 32 x 64 in: with the usual trim of 1 in a side it takes 4 x 6 letter sheets a ply.
LETTER_PANEL = """
[[laminate]]
part = "panel"
length = "64 in"
width = "32 in"
thickness = "{thickness}"
ply = "letter sheet"
ply_mass = "75 g/m2"
fibre = "paper"
ply_thickness = "{ply}"
sheet_length = "11 in"
sheet_width = "8 1/2 in"
resin = "plain resin"
block = 17
plies_per_round = 34
{more}
"""


def rows(topic: str, /, **wanted: str) -> list[dict[str, str]]:
    """Rows of a file of published values, those whose columns hold the words wanted."""
    with (PUBLISHED / f"{topic}.csv").open(newline="", encoding="utf-8") as handle:
        found = [
            row
            for row in csv.DictReader(handle)
            if all(row[column] == word for column, word in wanted.items())
        ]
    assert found, f"{topic}.csv has no row with {wanted}"
    return found


def example(topic: str, name: str) -> tuple[dict[str, str], dict[str, tuple[float, float]]]:
    """The givens of a worked example, and its results with the tolerance of each."""
    found = rows(topic, example=name)
    given = {row["item"]: row["value"] for row in found if row["role"] == "given"}
    results = {
        row["item"]: (float(row["value"]), float(row["tolerance"]))
        for row in found
        if row["role"] == "result" and ";" not in row["value"]
    }
    return given, results


def named(row: dict[str, str]) -> str:
    """A name for a row in test reports."""
    return " ".join(word for word in list(row.values())[:5] if word)


def written(folder: Path, job: str, shop: str = "", prices: str = "") -> Path:
    """Write the three files of a job; `job` lacks its head, `shop` changes the bare shop, prices are item,unit,price[,pack]."""
    text = tomlkit.dumps(merged(tomllib.loads(BARE_SHOP), tomllib.loads(shop)))
    (folder / "shop.toml").write_text(text, encoding="utf-8")
    book = ["# format = 1", "item,unit,price,pack,lead,supplier,dated,note"]
    for line in prices.split("\n"):
        if line.strip():
            book.append(line.strip() + "," * (7 - line.count(",")))
    (folder / "prices.csv").write_text("\n".join(book) + "\n", encoding="utf-8")
    head = "format = 1\n" + ("" if "[piece]" in job else '[piece]\ntitle = "a check"\n')
    path = folder / "job.toml"
    path.write_text(head + job, encoding="utf-8")
    return path


def priced_json(
    tmp_path: Path, capsys: Any, job: str, shop: str = "", prices: str = "", status: int = 0
) -> dict[str, Any]:
    """What `quoting price job.toml --json` prints for these files."""
    path = written(tmp_path, job, shop, prices)
    got = run(["price", str(path), "--json"])
    out, err = capsys.readouterr()
    assert got == status, err
    return dict(json.loads(out))


def refused(tmp_path: Path, capsys: Any, job: str, shop: str = "", prices: str = "") -> str:
    """What the command says where it refuses the files."""
    path = written(tmp_path, job, shop, prices)
    assert run(["price", str(path)]) == 2
    return str(capsys.readouterr().err)


def line(data: dict[str, Any], name: str) -> dict[str, Any]:
    """The line with this id."""
    return next(one for one in data["lines"] if one["id"] == name)


def codes(data: dict[str, Any]) -> set[str]:
    """Codes of all warnings."""
    return {one["code"] for one in data["warnings"]}


def warned(data: dict[str, Any], code: str) -> str:
    """The words of a warning."""
    return str(next(one["words"] for one in data["warnings"] if one["code"] == code))


def bought(*prices: object) -> str:
    """A thing bought at each price."""
    return "\n".join(
        f'[[buy]]\nitem = "thing {i}"\nquantity = 1\nprice = {p}\n' for i, p in enumerate(prices)
    )


def fibre_fraction(data: dict[str, Any], area_m2: float, ply_mm: float) -> float:
    """Fibre fraction of a panel without losses: what of its volume is not resin (resin = A n (t - m/rho))."""
    quantities = data["quantities"]
    volume_l = area_m2 * quantities["laminate_plies"] * ply_mm
    return float(1 - quantities["resin_litres"] / volume_l)


def reach_shop(given: dict[str, str], free_road_miles: float) -> str:
    """The workshop of the worked example."""
    return f"""
[pay.owner]
rate = {given["wage"]}
[pricing]
margin = "{float(given["margin"]) * 100:g} %"
[delivery]
load_time = "{float(given["load"]) / (int(given["crew"]) * float(given["wage"]))!r} h"
per_distance = "{given["rate_per_mile"]} /mi"
crew = {given["crew"]}
speed = "{given["speed"]} mph"
road_factor = {given["road_factor"]}
free_distance = "{free_road_miles!r} mi"
"""
