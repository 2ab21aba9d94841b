"""A picture of greys as a PNG (ISO/IEC 15948), which needs no more than the standard library."""

import struct
import zlib
from base64 import b64encode

import numpy as np
from numpy.typing import NDArray

SIGNATURE = b"\x89PNG\r\n\x1a\n"
EIGHT_BITS, GREYS = 8, 0


def grey_png(greys: NDArray[np.uint8]) -> bytes:
    """The PNG of an array (height, width) of greys, 0 black to 255 white, the top row first."""
    height, width = greys.shape
    # Every line begins with how it is filtered: 0, not at all.
    lines = np.hstack([np.zeros((height, 1), np.uint8), greys]).tobytes()
    head = struct.pack(">IIBBBBB", width, height, EIGHT_BITS, GREYS, 0, 0, 0)
    pieces = (_piece(b"IHDR", head), _piece(b"IDAT", zlib.compress(lines, 9)), _piece(b"IEND", b""))
    return SIGNATURE + b"".join(pieces)


def data_address(data: bytes, media_type: str) -> str:
    """The data as an address that holds them itself (RFC 2397)."""
    return f"data:{media_type};base64,{b64encode(data).decode('ascii')}"


def _piece(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))
