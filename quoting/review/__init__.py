"""Finished pieces: where the money went, and what the next price should rest on."""
