"""Delay loops: what an echo chip does at its time resistance, how the repeats go on, when they run away."""
