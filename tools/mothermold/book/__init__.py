"""Reading a book from its files: raw text, positions, limits, links. Nothing here raises for an author's mistake."""
