"""A piece in the middle of its build: what its entries teach, and what it will cost in the end."""
