"""A book carried as one file: its recipes with calculators and bench views, on a phone that has no signal at all."""
