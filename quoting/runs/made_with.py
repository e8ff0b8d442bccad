"""What a quote was made with: versions of the engine, of what draws and reckons, and fingerprints of templates and fonts."""

from __future__ import annotations

import hashlib
import platform
from importlib.metadata import version

from quoting import __version__
from quoting.reading.starters import shipped

PACKAGES = ("babel", "numpy", "openpyxl", "pillow", "pint", "reportlab")
TEMPLATES = ("shop.toml", "wording.toml", "fonts/DejaVuSans.ttf", "fonts/DejaVuSans-Bold.ttf")


def made_with() -> dict[str, str]:
    """Names and versions; a template's version is its fingerprint."""
    found = {"engine": __version__, "python": platform.python_version()}
    found |= {name: version(name) for name in PACKAGES}
    for name in TEMPLATES:
        data = shipped("templates").joinpath(name).read_bytes()
        found[f"templates/{name}"] = hashlib.sha256(data).hexdigest()
    return found
