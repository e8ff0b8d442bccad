"""Places on the globe: coordinates, ZIP codes where a table of them is installed, and straight distances."""

import re
from dataclasses import replace
from typing import NamedTuple

from quoting.errors import Reading
from quoting.job.job import Job
from quoting.job.shop import Shop

WANTED = 'write latitude and longitude in degrees, such as "47.6, -116.8"'
CREDIT = "coordinates of ZIP codes: GeoNames (geonames.org), CC BY 4.0"


class Place(NamedTuple):
    """A place: degrees, its name where it has one, and who is to be thanked for its coordinates."""

    latitude: float
    longitude: float
    name: str = ""
    credit: str = ""


def straight_m(start: tuple[float, float], end: tuple[float, float]) -> float:
    """Straight distance on the WGS84 ellipsoid between two pairs of degrees [m] (Karney 2013, by geographiclib)."""
    from geographiclib.geodesic import Geodesic

    found = Geodesic.WGS84.Inverse(*start, *end, outmask=Geodesic.DISTANCE)
    return float(found["s12"])


def place_of(text: str) -> Place:
    """A place from "latitude, longitude", or from a ZIP code of the United States. Reading where it is neither."""
    clean = text.strip()
    numbers = re.fullmatch(r"([-+]?\d+(?:\.\d+)?)\s*,\s*([-+]?\d+(?:\.\d+)?)", clean)
    if numbers:
        latitude, longitude = map(float, numbers.groups())
        if abs(latitude) > 90 or abs(longitude) > 180:
            raise Reading(f'found "{clean}"', WANTED)
        return Place(latitude, longitude)
    if re.fullmatch(r"\d{5}", clean):
        return _zip(clean)
    raise Reading(f'found "{text}"', f"{WANTED}, or a ZIP code")


def _zip(code: str) -> Place:
    """The middle of a ZIP code. Codes abroad have no coordinates: the table holds zeros for them."""
    try:
        import zipcodes
    except ImportError:
        wanted = f"{WANTED}; for ZIP codes install quoting[places]"
        raise Reading(f"found the ZIP code {code}", wanted) from None
    for row in zipcodes.matching(code):
        latitude, longitude = float(row["lat"] or 0), float(row["long"] or 0)
        if latitude or longitude:
            return Place(latitude, longitude, f"{row['city']}, {row['state']} {code}", CREDIT)
    raise Reading(f"found the ZIP code {code}, of which no place is known", WANTED)


def with_distance(job: Job, shop: Shop | None) -> Job:
    """The job with the straight distance to its place, where it names one and the shop has one too."""
    delivery = job.delivery
    if delivery is None or delivery.place is None or shop is None or shop.shop.place is None:
        return job
    if delivery.straight_distance is not None:
        return job
    far = straight_m(shop.shop.place, delivery.place)
    return replace(job, delivery=replace(delivery, straight_distance=far))
