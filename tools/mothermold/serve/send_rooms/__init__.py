"""The rooms of a phone, one module each: what is written there goes into the inbox, and nowhere else."""
