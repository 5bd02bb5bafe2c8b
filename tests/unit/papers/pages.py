"""Looks at a PDF through the tools that come with poppler, and at grey pictures of its pages."""

from __future__ import annotations

import shutil
import struct
import subprocess
import zlib
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

Grey = NDArray[np.uint8]
_HEAD = b"\x89PNG\r\n\x1a\n"


def tool(name: str) -> str:
    """The path of a poppler tool, or a skip that says what is missing."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} is not installed (package poppler-utils)")
    return found


def ask(name: str, pdf: bytes, folder: Path, *options: str) -> str:
    """What a poppler tool says about a PDF."""
    path = folder / "asked.pdf"
    path.write_bytes(pdf)
    # pdftotext writes to a file unless told otherwise.
    tail = ["-"] if name == "pdftotext" else []
    done = subprocess.run(
        [tool(name), *options, str(path), *tail], capture_output=True, text=True, check=True, encoding="utf-8"
    )
    return done.stdout


def page_pictures(pdf: bytes, folder: Path, *, dpi: int = 50) -> list[Grey]:
    """Every page as an array of grey levels."""
    (folder / "paged.pdf").write_bytes(pdf)
    command = [tool("pdftoppm"), "-r", str(dpi), "-gray", str(folder / "paged.pdf"), str(folder / "page")]
    subprocess.run(command, check=True, capture_output=True)
    return [_read_pgm(path.read_bytes()) for path in sorted(folder.glob("page-*.pgm"))]


def _read_pgm(data: bytes) -> Grey:
    magic, size, depth, pixels = data.split(b"\n", 3)
    wide, high = (int(n) for n in size.split())
    assert (magic, depth) == (b"P5", b"255")
    return np.frombuffer(pixels, dtype=np.uint8).reshape(high, wide)


def write_png(path: Path, picture: Grey) -> None:
    """A grey picture as PNG, rows unfiltered, so that it reads back with no library."""
    high, wide = picture.shape
    rows = b"".join(b"\0" + row.tobytes() for row in picture)
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)),
        (b"IDAT", zlib.compress(rows, 9)),
        (b"IEND", b""),
    )
    path.write_bytes(
        _HEAD
        + b"".join(
            struct.pack(">I", len(d)) + n + d + struct.pack(">I", zlib.crc32(n + d)) for n, d in chunks
        )
    )


def read_png(path: Path) -> Grey:
    """A picture written by `write_png`."""
    data, at, packed, wide, high = path.read_bytes(), len(_HEAD), b"", 0, 0
    while at < len(data):
        length, name = struct.unpack(">I4s", data[at : at + 8])
        body = data[at + 8 : at + 8 + length]
        if name == b"IHDR":
            wide, high = struct.unpack(">II", body[:8])
        if name == b"IDAT":
            packed += body
        at += 12 + length
    return np.frombuffer(zlib.decompress(packed), dtype=np.uint8).reshape(high, wide + 1)[:, 1:]
