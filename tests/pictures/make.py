"""Make the small pictures of the README from the first sample: `python tests/pictures/make.py`.

Wants LibreOffice (soffice) and poppler (pdftoppm) on the path.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image

HERE = Path(__file__).resolve().parent
SAMPLE = HERE.parents[1] / "sample_jobs" / "tern_hollow" / "jobs" / "library_console.toml"
WIDTH = "560"  # pixels: enough to read the headings, small enough for a README


def main() -> None:
    """Quote the sample, turn first pages into PNG."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        subprocess.run([sys.executable, "-m", "quoting", "quote", str(SAMPLE), "--out", made], check=True)
        pdf, sheet = folder / f"{SAMPLE.stem} quote.pdf", folder / f"{SAMPLE.stem} breakdown.xlsx"
        profile = f"-env:UserInstallation=file://{folder}/profile"
        convert = [
            "soffice",
            "--headless",
            "--norestore",
            profile,
            "--convert-to",
            "pdf",
            "--outdir",
            f"{made}/sheet",
        ]
        subprocess.run([*convert, str(sheet)], check=True, capture_output=True)
        page(pdf, HERE / "quote")
        page(folder / f"{SAMPLE.stem} maker sheet.pdf", HERE / "maker_sheet")
        page(folder / "sheet" / f"{sheet.stem}.pdf", HERE / "workbook")
        subprocess.run([sys.executable, "-m", "quoting", "risk", str(SAMPLE), "--out", made], check=True)
        small(folder / f"{SAMPLE.stem} risk.png", HERE / "risk.png")


def small(picture: Path, target: Path) -> None:
    """A picture as wide as the others."""
    with Image.open(picture) as full:
        full.resize((int(WIDTH), round(full.height * int(WIDTH) / full.width))).save(target, optimize=True)


def page(pdf: Path, target: Path) -> None:
    """The first page of a PDF as a PNG."""
    command = [
        "pdftoppm",
        "-f",
        "1",
        "-l",
        "1",
        "-singlefile",
        "-png",
        "-scale-to-x",
        WIDTH,
        "-scale-to-y",
        "-1",
    ]
    subprocess.run([*command, str(pdf), str(target)], check=True)


if __name__ == "__main__":
    main()
