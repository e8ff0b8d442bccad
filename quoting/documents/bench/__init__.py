"""Papers for the bench: the maker's sheet, the day sheet, cut plans for the wall."""
