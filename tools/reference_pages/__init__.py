"""The pages of the reference, one module each: `FILE` is its name, `write()` gives its text.

A module that makes several pages has `pages()` instead, which gives (file, function that writes it).
"""
