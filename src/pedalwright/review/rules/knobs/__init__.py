"""Knobs."""
