"""Answers as data for other programs: one form for the terminal's --json, for Python and for the page."""
