"""Connections and values that look like slips."""
