"""The pages of the reference, one module each: `FILE` is its name, `write()` gives its text."""
