"""How far a response may be from what is written, when parts are as far from their values as they may be.

`bands.response_band` is the band, `bands.banded` a table of levels with its band, `records` the data.
"""
