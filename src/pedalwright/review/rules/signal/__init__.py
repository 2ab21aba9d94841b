"""Levels, loads and limits of the signal."""
