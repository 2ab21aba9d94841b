"""Sound files in and out, as streams of blocks: any length in constant memory, any rate, written whole or
not at all.
"""
