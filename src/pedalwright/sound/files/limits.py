"""What a sound file may be, and how much of it is held at a time."""

BLOCK_FRAMES = 65536
"""frames of a block at the most"""
PIECE_FRAMES = 4096
"""frames read at a time: as many as a block of FLAC usually has"""
LOWEST_RATE_HZ, HIGHEST_RATE_HZ = 2000, 768_000
"""outside, the header of a file is not believed"""
MOST_MIXED_CHANNELS = 64
LARGEST_SAMPLE = 1000.0
"""times full scale: 60 dB above it no file of floating-point numbers is meant"""
UNNOTICED_S = 0.05
"""compressed files may miss as much of the length they state"""
LARGEST_WAV_BYTES = 2**32 - 2**16
"""its length field has 32 bits; a little is kept for the header"""
