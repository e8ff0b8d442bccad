"""The client's papers: the quote, a change of it, a price card."""
