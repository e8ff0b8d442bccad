"""The reference tables, held against published formulas, handbook values and rules."""

import csv
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
REFERENCE = HERE.parent / "quoting" / "reference"
PUBLISHED = HERE / "published"

TABLES = ("species", "fibres", "glass", "metals")
TOPICS = (
    "variances",
    "mix_and_yield",
    "earned_value",
    "norris",
    "tally",
    "movement",
    "ply_thickness",
    "mix_ratio",
    "coverage",
    "vacuum",
    "glass_mass",
    "crawford",
    "wright",
    "learning_examples",
    "three_point",
    "job_cost",
    "machine_rate",
    "surfacing",
    "markup_margin",
    "tax_rounding",
    "largest_remainder",
    "gross_up",
    "reach",
    "lifting",
    "consumables",
    "glass_price",
)
STATUSES = {"read", "from memory", "derived here"}

# Wood Handbook 2010 Table 13-5 gives one value for each of these commercial groups,
# so the coefficient does not follow from the shrinkage of the one species in the row.
GROUPS = {"red oak", "white oak", "hickory"}


def rows_of(path):
    with open(path, newline="", encoding="utf-8") as handle:
        rows = list(csv.DictReader(handle))
    assert rows, f"{path.name} has no rows"
    return rows


def table(name):
    return rows_of(REFERENCE / f"{name}.csv")


def published(name):
    return rows_of(PUBLISHED / f"{name}.csv")


def species_named(name):
    found = [row for row in table("species") if row["species"] == name]
    assert len(found) == 1, f"{name!r} stands in {len(found)} rows"
    return found[0]


def handbook_rows():
    rows = [row for row in table("species") if row["gravity_12"]]
    assert len(rows) == 23
    return rows


def names_in(row, first):
    also = row.get("also") or ""
    return [row[first], *(part for part in also.split(";") if part)]


def predicted_coefficient(shrinkage_percent):
    share = float(shrinkage_percent) / 100
    return share / (30 - 20 * share)


# Species


def test_density_follows_from_gravity_at_twelve_percent():
    # USDA Wood Handbook 2021, Eq. 4-14: density = 1000 x gravity x (1 + moisture/100).
    for row in handbook_rows():
        expected = 1000 * float(row["gravity_12"]) * 1.12
        assert float(row["density_kg_m3"]) == pytest.approx(expected, abs=0.05), row["species"]


def test_gravity_is_higher_dry_than_green():
    # Wood Handbook Eq. 4-11: the same mass in a smaller, shrunk volume.
    for row in handbook_rows():
        assert float(row["gravity_green"]) < float(row["gravity_12"]), row["species"]


def test_green_gravity_and_shrinkage_lead_to_gravity_at_twelve():
    # Wood Handbook Eq. 4-9 and 4-11: gravity_x = gravity_green/(1 - S_x), S_x = S_0 (1 - x/30).
    # The handbook's own tables agree with it within 5 per cent; 6 leaves room for two-digit values.
    for row in handbook_rows():
        shrunk = float(row["shrink_volumetric"]) / 100 * (1 - 12 / 30)
        expected = float(row["gravity_green"]) / (1 - shrunk)
        assert float(row["gravity_12"]) == pytest.approx(expected, rel=0.06), row["species"]


def test_shrinkage_is_least_radial_and_most_volumetric():
    # Wood Handbook 2010 ch. 4: radial < tangential < volumetric, and volumetric is near their sum.
    for row in handbook_rows():
        radial, tangential, volumetric = (
            float(row[key]) for key in ("shrink_radial", "shrink_tangential", "shrink_volumetric")
        )
        assert radial < tangential < volumetric, row["species"]
        assert volumetric == pytest.approx(radial + tangential, abs=2.0), row["species"]


@pytest.mark.parametrize("way", ["radial", "tangential"])
def test_movement_coefficient_follows_from_shrinkage(way):
    # Derived here: C = (S/100)/(30 - 20 S/100) gives back every single-species value of
    # Wood Handbook 2010 Table 13-5 from the shrinkage of Table 4-3, to the last printed digit.
    checked = 0
    for row in handbook_rows():
        if row["species"] in GROUPS:
            continue
        expected = predicted_coefficient(row[f"shrink_{way}"])
        assert float(row[f"coefficient_{way}"]) == pytest.approx(expected, abs=1e-5), row["species"]
        checked += 1
    assert checked == 20


@pytest.mark.parametrize("name", sorted(GROUPS))
@pytest.mark.parametrize("way", ["radial", "tangential"])
def test_group_coefficients_are_the_groups_own(name, way):
    # Wood Handbook 2010 Table 13-5: commercial group values, so the formula must not fit them.
    row = species_named(name)
    expected = predicted_coefficient(row[f"shrink_{way}"])
    assert abs(float(row[f"coefficient_{way}"]) - expected) > 5e-5


def test_coefficients_match_published_movement_examples():
    # Published examples in movement.csv name a species this table holds.
    wanted = {"red alder": 1e-4, "red oak": 1e-9, "white oak": 1e-9}  # the alder example is rounded
    seen = set()
    for row in published("movement"):
        if row["species"] in wanted:
            held = float(species_named(row["species"])["coefficient_tangential"])
            assert held == pytest.approx(float(row["coefficient"]), abs=wanted[row["species"]])
            seen.add(row["species"])
    assert seen == set(wanted)


def test_hickory_board_foot_mass_matches_the_published_figure():
    # A timber page on shagbark hickory prints 4.2 lb a board foot. One board foot is
    # 0.002359737216 m3 and one pound 0.45359237 kg (NIST SP 811).
    [printed] = [row for row in published("timber_density") if row["unit"] == "lb/board foot"]
    pounds = float(species_named("hickory")["density_kg_m3"]) * 0.002359737216 / 0.45359237
    assert pounds == pytest.approx(float(printed["density"]), abs=float(printed["tolerance"]))


def test_remembered_species_hold_nothing_but_density():
    rows = [row for row in table("species") if row["source"] == "from memory"]
    assert rows
    for row in rows:
        filled = {key for key, value in row.items() if value}
        assert filled <= {"species", "also", "density_kg_m3", "source"}, row["species"]
        assert 400 < float(row["density_kg_m3"]) < 900, row["species"]


# Names and sources


@pytest.mark.parametrize(
    ("name", "first"),
    [("species", "species"), ("fibres", "fibre"), ("glass", "nominal_mm"), ("metals", "metal")],
)
def test_no_name_stands_twice(name, first):
    seen = set()
    for row in table(name):
        for said in names_in(row, first):
            assert said == said.strip().lower() and said, f"{said!r} is not a plain lower-case name"
            assert said not in seen, f"{said!r} stands twice in {name}"
            seen.add(said)


@pytest.mark.parametrize("name", TABLES)
def test_every_reference_row_names_its_source(name):
    for number, row in enumerate(table(name), start=2):
        assert None not in row and None not in row.values(), f"{name} line {number}: wrong number of cells"
        assert row["source"].strip(), f"{name} line {number} names no source"


@pytest.mark.parametrize("name", TOPICS)
def test_every_topic_has_published_rows(name):
    assert published(name)


@pytest.mark.parametrize("path", sorted(PUBLISHED.glob("*.csv")), ids=lambda path: path.stem)
def test_every_published_row_names_its_source(path):
    for number, row in enumerate(rows_of(path), start=2):
        assert None not in row and None not in row.values(), f"{path.name} line {number}: wrong cells"
        assert row["source"].strip(), f"{path.name} line {number} names no source"
        assert row["status"] in STATUSES, f"{path.name} line {number}: status {row['status']!r}"


# Glass, fibres, metals


def test_glass_mass_is_two_and_a_half_kilograms_a_millimetre():
    # EN 572: soda-lime glass has 2500 kg/m3.
    for row in table("glass"):
        expected = 2.5 * float(row["nominal_mm"])
        assert float(row["mass_kg_m2"]) == pytest.approx(expected, abs=1e-9), row["nominal_mm"]


def test_least_glass_is_thinner_than_nominal_and_rises():
    # ASTM C1036: a minimum below the nominal thickness, by no more than a sixth.
    pairs = [(float(row["nominal_mm"]), float(row["least_mm"])) for row in table("glass")]
    assert pairs == sorted(pairs)
    for nominal, least in pairs:
        assert nominal * 5 / 6 < least < nominal, nominal
    least_values = [least for _, least in pairs]
    assert len(set(least_values)) == len(pairs) and least_values == sorted(least_values)


def test_glass_inch_size_is_near_nominal():
    # One inch is 25.4 mm; the traditional inch sizes lie within 8 per cent of the metric ones.
    for row in table("glass"):
        over, under = row["inch"].split("/")
        inch_mm = 25.4 * int(over) / int(under)
        assert inch_mm == pytest.approx(float(row["nominal_mm"]), rel=0.08), row["nominal_mm"]


def test_fibre_bands_are_fractions_in_order():
    # 0.9069 is the share of round rods in hexagonal packing (pi/(2 sqrt 3)), the most straight fibres reach.
    for row in table("fibres"):
        assert 0 < float(row["fraction_low"]) < float(row["fraction_high"]) < 0.9069, row["fibre"]


def test_fibre_bands_hold_the_measured_laminates():
    # Measured laminates in ply_thickness.csv: glass cloth at 6 inHg, hand-laid paper.
    bands = {
        row["fibre"]: (float(row["fraction_low"]), float(row["fraction_high"])) for row in table("fibres")
    }
    measured = {
        "measured paper laminate": "paper",
        "measured glass cloth at 6 inHg": "e-glass",
        "glass mat": "e-glass",
        "prepreg ply": "carbon",
    }
    seen = set()
    for row in published("ply_thickness"):
        if row["example"] in measured:
            low, high = bands[measured[row["example"]]]
            assert low <= float(row["fibre_fraction"]) <= high, row["example"]
            seen.add(row["example"])
    assert seen == set(measured)


def test_fibre_densities_lie_in_the_published_ranges():
    # npj Materials Degradation 2022, Table 3, in g/cm3; paper from a review table (softwood kraft).
    ranges = {
        "paper": (1.5, 1.5),
        "cotton": (1.5, 1.6),
        "flax": (1.4, 1.5),
        "hemp": (1.48, 1.48),
        "jute": (1.3, 1.3),
        "e-glass": (2.5, 2.59),
    }
    held = {row["fibre"]: float(row["density_kg_m3"]) / 1000 for row in table("fibres")}
    for fibre, (low, high) in ranges.items():
        assert low <= held[fibre] <= high, fibre


def test_metal_densities_stand_in_their_known_order():
    # From memory: aluminium is far lighter than steel, and the copper metals are all heavier.
    held = {row["metal"]: float(row["density_kg_m3"]) for row in table("metals")}
    order = ["aluminium", "mild steel", "stainless steel", "brass", "bronze", "copper"]
    assert sorted(held, key=held.get) == order
    assert held["aluminium"] == pytest.approx(2700, rel=0.02)
    assert held["copper"] == pytest.approx(8960, rel=0.01)
