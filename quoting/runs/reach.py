"""How far a piece can be delivered: for a job, or for a price and a cost."""

import re
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import numpy as np

from quoting.advice import Advice, argument
from quoting.costing.shared import waiting_share
from quoting.errors import Problem, Reading, noted, refuse, refused
from quoting.job.brief import Brief
from quoting.job.files import Given, called
from quoting.job.load import load_shop
from quoting.job.read import straight_m
from quoting.job.shop import Shop
from quoting.measures import measure
from quoting.measures.showing import road_unit
from quoting.money import exact, minor_digits
from quoting.pricing.channels import reserve_on
from quoting.pricing.outlook import refuse_clipped
from quoting.pricing.price import rules
from quoting.pricing.reach import Costs, Reach, Row, reach_of
from quoting.pricing.record import Priced
from quoting.pricing.sale import sale_at
from quoting.pricing.warnings import BEYOND_FURTHEST
from quoting.risk.drawn import P80, drawn, seed_and_draws
from quoting.runs.pricing import check, priced_alone
from quoting.runs.seen import Settings
from quoting.runs.shops import shop_folder_here, typed
from quoting.takeoff.delivery import road_m
from quoting.written import write_all

WANTED = 'write latitude and longitude in degrees, such as "47.6, -116.8"'
CREDIT = "coordinates of ZIP codes: GeoNames (geonames.org), CC BY 4.0"


class Place(NamedTuple):
    """A place: degrees, its name where it has one, and who is to be thanked for its coordinates."""

    latitude: float
    longitude: float
    name: str = ""
    credit: str = ""


class Asked(NamedTuple):
    """What the maker asks beside the job: texts as they were typed, "" for none."""

    price: str = ""
    cost: str = ""
    to: str = ""
    road: str = ""
    carrier: str = ""
    overwrite: bool = False


class Found(NamedTuple):
    """A reach, and the distance asked about [m by road]; `place` where it was named, `carrier_m` from where a carrier is cheaper."""

    title: str
    shop: Shop
    reach: Reach
    asked_m: float | None
    straight_m: float | None
    place: Place | None
    carrier: Decimal | None
    carrier_m: float | None
    policies_broken: tuple[str, ...]
    collected: bool
    written: list[Path]

    def distances(self) -> list[Row]:
        """Prices and margins by distance, what was asked about among them."""
        also = () if self.asked_m is None else (self.asked_m,)
        return list(self.reach.rows(road_unit(self.shop.shop.units)[1], *also))


def reach(
    job: Given | None,
    shop: Path | None,
    today: date,
    here: Path,
    settings: Settings,
    asked: Asked,
    out: Path | None,
) -> Found:
    """The reach of a job's price, or of a price and a cost in the shop named, or that of `here`. Problems with all that is wrong in what was asked."""
    amounts, problems = _amounts(asked)
    if job is None and not (amounts.get("price") and "cost" in amounts) and not problems:
        wanted = Advice("job_or_price_and_cost")
        problems.append(Problem.of("", "found neither a job nor a price with a cost", wanted, "missing"))
    if job is not None and "cost" in amounts:
        found_job = "found a job, which has its own cost"
        problems.append(Problem.of(argument("cost"), found_job, "leave out one of them", "conflict"))
    if job is None and settings:
        lacking = "found no job to set a value of"
        problems.append(Problem.of(Advice("settings"), lacking, Advice("write_job"), "missing"))
    refuse(problems)
    if job is not None:
        checked = check(job, shop, today, settings, with_options=False)
        priced = priced_alone(checked)
        brief, title = checked.brief, priced.job.piece.title
        found = of_job(brief, priced, amounts.get("price"))
        own = own_distance(brief)
        broken, collected = priced.policies_broken, priced.carried_m is None
    else:
        brief = load_shop(shop_folder_here(shop, here))
        title, own, broken, collected = "a price and a cost", None, (), False
        digits = minor_digits(brief.shop.shop.currency)
        rule = rules(brief.job, brief.shop, len(brief.shop.terms.payments), digits)
        sale = sale_at(exact(amounts["price"], digits), rule)
        found = reach_of(sale, rule, (Costs("the cost", float(amounts["cost"])),), brief)
    place, straight, road = _distance(brief.shop, asked)
    asked_m = own if road is None else road
    if asked_m is not None and asked_m > found.furthest_m:
        broken = (*broken, BEYOND_FURTHEST)
    carrier = amounts.get("carrier")
    cheaper = None if carrier is None else float(found.trip.reach_m(float(carrier)))
    result = Found(
        title, brief.shop, found, asked_m, straight, place, carrier, cheaper, broken, collected, []
    )
    if out is None:
        return result
    from quoting.documents.pictures.price import reach_picture
    from quoting.documents.pictures.writers import files_of

    name, origin = called(job) if job is not None else ("price", "price")
    files = files_of(f"{name} reach", reach_picture(found, brief.shop, title, asked_m))
    return result._replace(written=write_all(out, files, origin, asked.overwrite))


def own_distance(brief: Brief) -> float | None:
    """The distance by road of the job's client, however far; None where the piece is collected or nobody is named."""
    delivery = brief.job.delivery
    return None if delivery is None or delivery.collect else road_m(delivery, brief.shop.delivery.road_factor)


def of_job(brief: Brief, priced: Priced, price: Decimal | None) -> Reach:
    """The job's costs without their trips: with its reserve, as planned, and what 8 in 10 builds stay below."""
    waiting = waiting_share(brief)
    carried = float(priced.cost["delivery_carried"]) * (1 + waiting)
    run = drawn(brief, *seed_and_draws(brief))
    refuse_clipped(brief, run.clipped)
    eight = float(np.quantile(run.planned - run.carried * (1 + waiting), P80))
    planned = float(priced.cost["planned"]) - carried
    costs = (
        Costs("cost with reserve", planned + reserve_on(priced, planned)),
        Costs("the plan", planned),
        Costs("8 in 10 builds cost less", eight),
    )
    asked = priced.chain.seen.goods - priced.chain.seen.discount if price is None else price
    return reach_of(sale_at(exact(asked, priced.digits), priced.rules), priced.rules, costs, brief, waiting)


def _amounts(asked: Asked) -> tuple[dict[str, Decimal], list[Problem]]:
    """Amounts that were given, by name, and what is wrong with them."""
    amounts: dict[str, Decimal] = {}
    problems: list[Problem] = []
    for name in ("price", "cost", "carrier"):
        text = getattr(asked, name)
        with noted(problems, argument(name)):
            if text:
                amounts[name] = Decimal(repr(measure(text, "money")))
    if amounts.get("price") == 0:
        problems.append(Problem.of(argument("price"), "found 0", "write a price above zero", "zero"))
    return amounts, problems


def _distance(shop: Shop, asked: Asked) -> tuple[Place | None, float | None, float | None]:
    """The place asked about, its straight distance and the distance by road [m]."""
    if asked.to and asked.road:
        found = "found a place and a distance by road"
        raise refused(argument("to"), found, "write one of them", code="conflict")
    with typed("road" if asked.road else "to"):
        if asked.road:
            return None, None, measure(asked.road, "distance")
        if not asked.to:
            return None, None, None
        place = place_of(asked.to)
    if shop.shop.place is None:
        wanted = "write place = [latitude, longitude] under [shop] in shop.toml"
        raise refused("shop.place", "found no place of the shop to start from", wanted, code="missing")
    straight = straight_m(shop.shop.place, (place.latitude, place.longitude))
    return place, straight, straight * shop.delivery.road_factor


def place_of(text: str) -> Place:
    """A place from "latitude, longitude", or from a ZIP code of the United States. Reading where it is neither."""
    clean = text.strip()
    numbers = re.fullmatch(r"([-+]?\d+(?:\.\d+)?)\s*,\s*([-+]?\d+(?:\.\d+)?)", clean)
    if numbers:
        latitude, longitude = map(float, numbers.groups())
        if abs(latitude) > 90 or abs(longitude) > 180:
            raise Reading(f'found "{clean}"', WANTED, "not_a_place", found=clean)
        return Place(latitude, longitude)
    if re.fullmatch(r"\d{5}", clean):
        return _zip(clean)
    raise Reading(f'found "{text}"', f"{WANTED}, or a ZIP code", "not_a_place", found=text)


def _zip(code: str) -> Place:
    """The middle of a ZIP code. Codes abroad have no coordinates: the table holds zeros for them."""
    try:
        import zipcodes
    except ImportError:
        wanted = f"{WANTED}; for ZIP codes install quoting[places]"
        raise Reading(f"found the ZIP code {code}", wanted, "not_a_place", found=code) from None
    for row in zipcodes.matching(code):
        latitude, longitude = float(row["lat"] or 0), float(row["long"] or 0)
        if latitude or longitude:
            return Place(latitude, longitude, f"{row['city']}, {row['state']} {code}", CREDIT)
    raise Reading(f"found the ZIP code {code}, of which no place is known", WANTED, "not_a_place", found=code)
