"""Sample jobs for tests of risk: as they are, changed, or with every range made certain."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import tomlkit

from quoting.job.load import load
from quoting.job.starters import shipped, with_defaults

SAMPLES = Path(str(shipped("sample_jobs")))
HOME = SAMPLES / "tern_hollow"
JOBS = {path.stem: path for path in sorted(SAMPLES.glob("*/jobs/*.toml"))}


def brief_of(folder: Path, name: str, change: Any = None, shop_change: Any = None) -> Any:
    """The brief of a sample whose raw job and shop may be changed first."""
    source = JOBS[name]
    job = tomllib.loads(source.read_text(encoding="utf-8"))
    shop = with_defaults(tomllib.loads((source.parents[1] / "shop.toml").read_text(encoding="utf-8")))
    for raw, act in ((job, change), (shop, shop_change)):
        if act is not None:
            act(raw)
    (folder / "job.toml").write_text(tomlkit.dumps(job), encoding="utf-8")
    (folder / "shop.toml").write_text(tomlkit.dumps(shop), encoding="utf-8")
    (folder / "prices.csv").write_bytes((source.parents[1] / "prices.csv").read_bytes())
    for beside in source.parent.glob("*.csv"):  # tallies of boards
        (folder / beside.name).write_bytes(beside.read_bytes())
    return load(folder / "job.toml")


def made_certain(raw: Any) -> None:
    """Every range of three in its place at its likely value; every chance at one half or more for sure, else never."""
    items = raw.items() if isinstance(raw, dict) else enumerate(raw)
    for key, value in list(items):
        if isinstance(value, dict | list):
            made_certain(value)
        elif key == "chance":
            raw[key] = 1.0
        elif isinstance(value, str) and value.count("..") == 2:
            unit = value.rpartition("..")[2].strip().partition(" ")[2]
            raw[key] = f"{value.split('..')[1].strip()} {unit}".strip()
