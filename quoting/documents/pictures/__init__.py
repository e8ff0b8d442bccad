"""One visual language for every picture: marks, looks, rows of bars and plots, and one file a picture."""
