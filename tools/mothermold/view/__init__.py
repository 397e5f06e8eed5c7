"""One book read in one edition: the only door to documents for everything above."""
