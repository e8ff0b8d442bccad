"""Draws of a whole job, how they spread and the reserve they ask for; and what measured values teach of what was guessed."""
