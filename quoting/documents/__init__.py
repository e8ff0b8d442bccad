"""Documents render a priced job; they compute nothing."""
