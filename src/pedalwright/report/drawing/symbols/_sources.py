"""Where the look of the symbols comes from."""

IEC_60617 = "the manner of IEC 60617, from memory"
IEEE_315 = "the manner of IEEE 315, from memory"
BOTH = f"{IEC_60617}; on request {IEEE_315}"
ALIKE = "alike in the manner of IEC 60617 and IEEE 315, from memory"
OWN = "a plain box with its pins named"
