"""Cut plans of a job: its parts, the stock there is, and what of it is charged."""
