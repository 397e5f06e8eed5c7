"""The trade's own words and rules. Knows documents only as objects handed to it."""
