"""Cut plans: which piece comes from which bar, board or sheet, and how far from the best that can be."""
