"""Frozen facts: parts, pins, nets, knobs, spans and remarks. Nothing here computes a number."""
