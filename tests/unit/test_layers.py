"""The command answers before anything heavy is loaded."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import quoting
from quoting.trades.registry import PRINTED

HEAVY = {"pandas", "numpy", "pint", "openpyxl", "reportlab", "pydantic", "babel", "tomlkit"}
SHOWN = "import json, sys; {}; print(json.dumps(sorted(sys.modules)))"


def loaded(statement: str) -> set[str]:
    """Every module that a new interpreter holds after a statement."""
    done = subprocess.run(
        [sys.executable, "-c", SHOWN.format(statement)],
        env={**os.environ, "PYTHONPATH": str(Path(quoting.__file__).parents[1])},
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return set(json.loads(done.stdout))


@pytest.mark.parametrize("statement", ["import quoting", "import quoting.__main__", "import quoting.cli"])
def test_the_commands_load_nothing_heavy(statement: str) -> None:
    modules = loaded(statement)
    assert "quoting" in modules
    assert {name.split(".")[0] for name in modules} & HEAVY == set()


def test_the_commands_load_no_layer_below_them() -> None:
    """Help and completion need no inputs, model or documents."""
    below = {name for name in loaded("import quoting.cli") if name.startswith("quoting.")}
    assert {
        name
        for name in below
        if name.split(".")[1] in ("job", "reading", "trades", "takeoff", "costing", "pricing", "documents")
    } == set()


def test_trades_and_their_equations_load_no_reader_of_files() -> None:
    """Records read what makers write: a declaration names them, and no equation imports one."""
    homes = [f"quoting.trades.{name}" for name in (*PRINTED, "gone")]
    files = {
        home: Path(quoting.__file__).parent.joinpath("trades", home.rpartition(".")[2]).glob("*.py")
        for home in homes
    }
    modules = [
        f"{home}.{one.stem}"
        for home, own in files.items()
        for one in own
        if one.stem not in ("__init__", "record")
    ]
    assert len(modules) > len(homes)
    found = loaded(f"import {', '.join([*homes, *modules])}")
    assert set(modules) <= found
    assert {name for name in found if name.split(".")[0] == "pydantic" or name.endswith(".record")} == set()


def test_pricing_loads_no_document_library() -> None:
    modules = {
        name.split(".")[0]
        for name in loaded("import quoting.runs, quoting.cli.breakdown, quoting.as_data.record")
    }
    assert "numpy" in modules  # the model is loaded, so that the next line means something
    assert modules & {"openpyxl", "reportlab", "pandas"} == set()


def test_recipes_load_no_document_library() -> None:
    """What draws is loaded where something is drawn: to say how sure a price is, nothing is."""
    recipes = sorted(Path(quoting.__file__).parent.joinpath("runs").glob("[a-z]*.py"))
    assert len(recipes) > 10
    modules = loaded(f"import {', '.join(f'quoting.runs.{one.stem}' for one in recipes)}")
    assert {name.split(".")[0] for name in modules} & {"openpyxl", "reportlab", "PIL"} == set()
