"""Devices: one file each, with pins, figures with their sources, and the primitives they expand into."""
