"""Reference tables shipped with the tool: every row names its source."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from quoting.values import INCH_M, Yield, key


class Species(NamedTuple):
    """A timber: density at 12 % moisture [kg/m3]."""

    name: str
    density_kg_m3: float


class Fibre(NamedTuple):
    """A reinforcement: density [kg/m3] and the usual band of fibre fraction."""

    name: str
    density_kg_m3: float
    fraction_low: float
    fraction_high: float


class MetalData(NamedTuple):
    """A metal: density [kg/m3]."""

    name: str
    density_kg_m3: float


class Pane(NamedTuple):
    """A nominal glass thickness [m], the inch size it is sold as [m], its mass per area [kg/m2]."""

    thickness_m: float
    inch_m: float
    mass_kg_m2: float


@dataclass(frozen=True, slots=True)
class Tables:
    """All reference tables, by the name a maker writes; and what a cut plan found for parts, by their path."""

    species: Mapping[str, Species]
    fibres: Mapping[str, Fibre]
    metals: Mapping[str, MetalData]
    panes: tuple[Pane, ...]
    yields: Mapping[str, tuple[Yield, ...]] = field(default_factory=dict)


def _rows(table: str) -> list[dict[str, str]]:
    text = files("quoting").joinpath("reference", f"{table}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def tables() -> Tables:
    """The shipped reference tables."""
    species: dict[str, Species] = {}
    for row in _rows("species"):
        entry = Species(row["species"], float(row["density_kg_m3"]))
        for name in [row["species"], *filter(None, row["also"].split(";"))]:
            species[key(name)] = entry
    return Tables(
        species=species,
        fibres={
            key(row["fibre"]): Fibre(row["fibre"], *(float(row[name]) for name in Fibre._fields[1:]))
            for row in _rows("fibres")
        },
        metals={
            key(row["metal"]): MetalData(row["metal"], float(row["density_kg_m3"])) for row in _rows("metals")
        },
        panes=tuple(
            Pane(
                float(row["nominal_mm"]) / 1000,
                float(Fraction(row["inch"])) * INCH_M,
                float(row["mass_kg_m2"]),
            )
            for row in _rows("glass")
        ),
    )


def with_own_species(shipped: Tables, own: Mapping[str, float]) -> Tables:
    """The tables with a shop's own timbers: densities at 12 % moisture [kg/m3] by name."""
    species = {key(name): Species(name, density) for name, density in own.items()}
    return replace(shipped, species={**shipped.species, **species})
