"""The circuit in time: its linear part solved exactly, its nonlinear parts at every step."""
