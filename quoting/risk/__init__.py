"""Draws of a whole job: how they spread, what drives them, and the reserve they ask for."""
