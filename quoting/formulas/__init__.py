"""The plan once more, with numbers that remember how they were reckoned: what live formulas are made of."""
