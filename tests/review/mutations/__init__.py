"""Mistakes a builder makes, made on purpose to the package's circuits; and what the review says of them."""
