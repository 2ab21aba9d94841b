"""The wants of the text."""
