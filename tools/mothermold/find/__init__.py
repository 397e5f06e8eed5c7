"""Search: which texts answer to some words, and in which order. Pure; it knows no documents."""
