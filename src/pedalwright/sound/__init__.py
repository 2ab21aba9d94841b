"""Sound through a circuit: sources and files, players, loudness, and what can be measured of it."""
