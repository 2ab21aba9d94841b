"""From a stage's parts to places: what is in line, what hangs, what arches over; then how much room each
takes.
"""
