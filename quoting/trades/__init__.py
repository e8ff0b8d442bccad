"""The trades of the house: one folder each, which holds all that anyone needs to know of it."""
