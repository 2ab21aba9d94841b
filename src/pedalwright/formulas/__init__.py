"""Published closed forms as plain functions of plain numbers; one file per topic, and no list of them here.

Every function gives its equation, its arguments with units in brackets, where it holds, its source by the
keys of `sources`, and an example that runs. Real functions take floats and, unless they say so, arrays that
broadcast; functions of the complex frequency `s` take a complex number or an array. Outside its domain a
function gives "not a number", never a clamped value. Nothing here knows of circuits.
"""
