"""Arithmetic: pure, exact, unit-aware. Documents arrive as objects; nothing is read or written here."""
