"""Differences between two texts of a recipe, in trade terms. Pure: knows neither files nor versions."""
