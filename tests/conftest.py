"""What holds for every test: none measures time, and the guarding machine draws the same cases every run."""

import os

# Before numpy is imported: the matrices are small, and several test processes share few processors.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from hypothesis import settings

settings.register_profile("local", deadline=None)
settings.register_profile("guard", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("guard" if os.environ.get("CI") else "local")
