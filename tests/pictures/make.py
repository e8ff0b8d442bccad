"""Make the small pictures of the README from the samples: `python tests/pictures/make.py`.

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
        subprocess.run([sys.executable, "-m", "quoting", "pictures", str(SAMPLE), "--out", made], check=True)
        for name, target in (("price", "price"), ("laminate 1 section", "laminate"), ("days", "days")):
            small(folder / f"{SAMPLE.stem} {name}.png", HERE / f"{target}.png")
        ledger = HERE.parents[1] / "sample_jobs" / "make_ledger.py"
        subprocess.run([sys.executable, str(ledger), f"{made}/story"], check=True, capture_output=True)
        review = [sys.executable, "-m", "quoting", "review", "2026-001", "--out", made]
        subprocess.run(review, cwd=f"{made}/story", check=True)
        page(folder / "2026-001 review.pdf", HERE / "review", number=2)
        trimmed(HERE / "review.png")
        cupboard = SAMPLE.with_name("boot_cupboard.toml")
        subprocess.run([sys.executable, "-m", "quoting", "cut", str(cupboard), "--out", made], check=True)
        page(folder / f"{cupboard.stem} cut plan.pdf", HERE / "cut_plan", number=4)
        trimmed(HERE / "cut_plan.png", kept=0.8)


def small(picture: Path, target: Path) -> None:
    """A picture as wide as the others."""
    with Image.open(picture) as full:
        full.resize((int(WIDTH), round(full.height * int(WIDTH) / full.width))).save(target, optimize=True)


def trimmed(picture: Path, kept: float = 1.0) -> None:
    """Take the empty foot off a page, of which the upper share is kept."""
    with Image.open(picture) as whole:
        full = whole.crop((0, 0, whole.width, round(whole.height * kept)))
        grey = full.convert("L").point(lambda value: 255 if value < 250 else 0)
        foot = (grey.getbbox() or (0, 0, *full.size))[3]
        shown = full.crop((0, 0, full.width, min(foot + 12, full.height)))
    shown.save(picture, optimize=True)


def page(pdf: Path, target: Path, number: int = 1) -> None:
    """A page of a PDF as a PNG."""
    command = [
        "pdftoppm",
        "-f",
        str(number),
        "-l",
        str(number),
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
