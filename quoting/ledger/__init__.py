"""What was issued and what really happened, in one file of the shop folder: only ever added to."""
