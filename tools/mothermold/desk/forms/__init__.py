"""Forms made out of the model and one layout a kind, and what becomes of what was sent back."""
