"""The examples of the texts run as they stand there."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

import quoting

ROOT = Path(__file__).parents[2]


def test_the_example_of_the_readme_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Line for line; what stands behind a line as its answer is its answer."""
    monkeypatch.chdir(ROOT)
    (example,) = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    names: dict[str, object] = {}
    exec(example, names)
    line, answer = re.search(r"^(\S+)  # (Decimal\(.*?\));", example, re.MULTILINE).groups()  # type: ignore[union-attr]
    assert eval(line, names) == eval(answer, {"Decimal": __import__("decimal").Decimal})


def test_the_example_of_the_package_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert doctest.testmod(quoting) == doctest.TestResults(failed=0, attempted=3)
