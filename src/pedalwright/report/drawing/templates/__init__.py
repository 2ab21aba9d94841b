"""Templates: one file for each stage kind, or family of kinds, that has a classical picture."""
