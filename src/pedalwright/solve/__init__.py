"""The numbers: rest point, response, impedance, sensitivity, poles.

Knows primitives only, never devices or stages.
"""
