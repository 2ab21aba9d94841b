"""Plots of a circuit: one file a kind, drawn from the same answers as the verbs print.

`catalogue` lives beside this folder, in `plots_catalogue`: the kinds in order, and all of a circuit drawn.
"""
