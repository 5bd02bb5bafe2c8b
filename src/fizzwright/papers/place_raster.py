"""Fields of numbers as small pictures inside a drawing: cividis, one pixel a cell, no library needed."""

from __future__ import annotations

import base64
import struct
import zlib

import numpy as np
from numpy.typing import NDArray

from fizzwright.papers.svg import Box, num

__all__ = ["colours", "image", "scale_image"]

Field = NDArray[np.float64]

# Cividis at ten even places (Nuñez, Anderton & Renslow 2018): even to every eye, dark to light.
_ANCHORS = (
    "00224e",
    "123570",
    "3b496c",
    "575d6d",
    "707173",
    "8a8678",
    "a59c74",
    "c3b369",
    "e1cc55",
    "fee838",
)


def colours(shares: Field) -> NDArray[np.uint8]:
    """Red, green, blue for shares between nil and one, shape (..., 3)."""
    table = np.array([[int(text[i : i + 2], 16) for i in (0, 2, 4)] for text in _ANCHORS], dtype=float)
    at = np.clip(shares, 0.0, 1.0) * (len(table) - 1)
    low = np.minimum(at.astype(int), len(table) - 2)
    part = (at - low)[..., None]
    found: NDArray[np.uint8] = np.round(table[low] * (1 - part) + table[low + 1] * part).astype(np.uint8)
    return found


def _png(pixels: NDArray[np.uint8]) -> bytes:
    """Red, green, blue, alpha pixels (rows from the top) as a PNG file."""
    high, wide, _ = pixels.shape
    rows = np.concatenate([np.zeros((high, 1), np.uint8), pixels.reshape(high, wide * 4)], axis=1)

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", wide, high, 8, 6, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(rows.tobytes(), 9))
        + chunk(b"IEND", b"")
    )


def image(field: Field, box: Box, *, low: float, high: float, shown: NDArray[np.bool_] | None = None) -> str:
    """A field as an image element that fills a box; rows from the top, cells not shown left clear."""
    share = (field - low) / max(high - low, 1e-12)
    alpha = np.full((*field.shape, 1), 255, np.uint8)
    if shown is not None:
        alpha[~shown] = 0
    data = base64.b64encode(_png(np.concatenate([colours(share), alpha], axis=2))).decode("ascii")
    wide, high_px = num(box.right - box.left), num(box.bottom - box.top)
    place = f'x="{num(box.left)}" y="{num(box.top)}" width="{wide}" height="{high_px}"'
    return f'<image {place} preserveAspectRatio="none" href="data:image/png;base64,{data}"/>'


def scale_image(box: Box) -> str:
    """The colours of the scale from low at the left to high at the right."""
    return image(np.linspace(0.0, 1.0, 60)[None, :], box, low=0.0, high=1.0)
