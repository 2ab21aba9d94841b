"""Sounds of our own making: a plucked string, a chord, a click, noise, a sweep, a tone."""
