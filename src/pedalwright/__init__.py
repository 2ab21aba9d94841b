"""Pedalwright: a guitar-pedal circuit from text to an explained, proved walk-through."""
