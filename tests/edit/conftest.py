"""A shop of one's own, as the tests of commands have it."""

from end_to_end.conftest import book, booked, samples, shop, started

__all__ = ["book", "booked", "samples", "shop", "started"]
