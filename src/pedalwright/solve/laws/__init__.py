"""The laws of the nonlinear primitives, one per file; `law.py` says what a law is."""
