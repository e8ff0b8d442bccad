"""From quantities to cost: the one model that every run reads with its own pick."""
