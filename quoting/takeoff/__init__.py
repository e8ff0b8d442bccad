"""Quantities of every trade: pure functions of a part, the shop's standards and a pick."""
