"""Documents: what is to be shown as blocks, and one writer for each medium. Nothing below knows a picture
exists.
"""
