"""The pages on which the owner writes the book: pure functions, as all pages."""
