#!/usr/bin/env python3
"""Draws the icons of the packages into docs/images/packages: 128 by 128 dots, true colour. Needs Python only.

The mark is ours: rip lines that bend up into a valley, and the keypoint on the guide they run beside. Each package has a
ground colour and a small sign of its own. The same script gives the same bytes.
"""
import math
import os
import struct
import zlib

SIZE = 128
LINES = (-46, -28, -10, 8, 26, 44)
GUIDE = 2


def bend(x):
    """How far a line is drawn up toward the valley's head, dots."""
    return 26 * math.exp(-((x - 46) / 20) ** 2) + 6 * math.sin((x - 20) / 24)


def line_distance(x, y, k):
    """Distance to line k, near enough for a stroke: the upright distance shortened by the line's slope."""
    down = 84 + LINES[k] * 0.8 - bend(x) - y
    slope = bend(x + 0.5) - bend(x - 0.5)
    return abs(down) / math.hypot(1, slope)


def box(x, y, left, top, right, bottom, radius=0.0):
    """Signed distance to a rounded box, negative inside."""
    dx = abs(x - (left + right) / 2) - (right - left) / 2 + radius
    dy = abs(y - (top + bottom) / 2) - (bottom - top) / 2 + radius
    return math.hypot(max(dx, 0), max(dy, 0)) + min(max(dx, dy), 0) - radius


def diamond(x, y, cx, cy, r):
    return (abs(x - cx) + abs(y - cy) - r) / math.sqrt(2)


def segment(x, y, ax, ay, bx, by):
    t = max(0, min(1, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2)))
    return math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay))


def sheet(x, y):
    """A file with lines on it."""
    return min(abs(box(x, y, 84, 82, 112, 116, 3)) - 2, *(segment(x, y, 91, v, 105, v) - 1.8 for v in (92, 99, 106)))


def picture(x, y):
    """A framed map: one line and a dot."""
    return min(abs(box(x, y, 80, 84, 116, 114, 3)) - 2, segment(x, y, 84, 108, 95, 95) - 1.8, segment(x, y, 95, 95, 112, 104) - 1.8, math.hypot(x - 107, y - 92) - 2.6)


def wheel(x, y):
    """A wheel and the shank behind it."""
    return min(abs(math.hypot(x - 102, y - 98) - 11) - 2, math.hypot(x - 102, y - 98) - 3, segment(x, y, 90, 98, 83, 98) - 1.8, segment(x, y, 83, 98, 83, 110) - 1.8, segment(x, y, 83, 110, 88, 114) - 1.8)


def bridge(x, y):
    """Two banks and what leads from one to the other."""
    return min(abs(math.hypot(x - 86, y - 100) - 6) - 2, abs(math.hypot(x - 110, y - 100) - 6) - 2, segment(x, y, 93, 100, 103, 100) - 2)


def prompt(x, y):
    """Where a command is typed."""
    return min(segment(x, y, 84, 90, 93, 99) - 2.4, segment(x, y, 93, 99, 84, 108) - 2.4, segment(x, y, 98, 110, 112, 110) - 2.4)


def drop(x, y):
    """A drop of water."""
    return min(math.hypot(x - 99, y - 104) - 9.5, max(segment(x, y, 99, 86, 99, 102) - 1.2 - 8 * max(0.0, min(1.0, (y - 86) / 16)), 84 - y))


# name: ground, line, guide and keypoint, sign
PACKAGES = {
    "keyline": ((0x2F, 0x4A, 0x36), (0xA9, 0xC4, 0xA0), (0xF6, 0xEF, 0xDC), None),
    "keyline.formats": ((0x2B, 0x45, 0x57), (0x9F, 0xBC, 0xCB), (0xF6, 0xEF, 0xDC), sheet),
    "keyline.report": ((0x6B, 0x3E, 0x2E), (0xD9, 0xB3, 0x9B), (0xF6, 0xEF, 0xDC), picture),
    "keyline.fieldwork": ((0x4A, 0x35, 0x5A), (0xBF, 0xAB, 0xCE), (0xF6, 0xEF, 0xDC), wheel),
    "keyline.water": ((0x1F, 0x4E, 0x5F), (0x8F, 0xC6, 0xCF), (0xF6, 0xEF, 0xDC), drop),
    "keyline.gdal": ((0x5C, 0x4E, 0x22), (0xD3, 0xC4, 0x8E), (0xF6, 0xEF, 0xDC), bridge),
    "keyline.console": ((0x2A, 0x2A, 0x30), (0x8F, 0x95, 0x9E), (0xF6, 0xEF, 0xDC), prompt),
}


def cover(distance):
    """Share of a dot that a shape covers, from the signed distance of its centre."""
    return max(0.0, min(1.0, 0.5 - distance))


def over(below, above, share):
    return tuple(b + (a - b) * share for b, a in zip(below, above))


def dot(x, y, ground, line, guide, sign):
    colour = ground
    for k in range(len(LINES)):
        if k != GUIDE:
            colour = over(colour, line, cover(line_distance(x, y, k) - 2.2))
    colour = over(colour, guide, cover(line_distance(x, y, GUIDE) - 3.2))
    top = 84 + LINES[GUIDE] * 0.8 - bend(46)
    colour = over(colour, ground, cover(diamond(x, y, 46, top, 16)))
    colour = over(colour, guide, cover(diamond(x, y, 46, top, 11.5)))
    if sign is not None:
        colour = over(colour, ground, cover(box(x, y, 73, 75, 128, 128, 10)))
        colour = over(colour, guide, cover(sign(x, y)))
    return bytes(round(c) for c in colour) + bytes([round(255 * cover(box(x, y, 0, 0, SIZE, SIZE, 22)))])


def png(rows):
    def part(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    raw = b"".join(b"\0" + r for r in rows)
    return b"\x89PNG\r\n\x1a\n" + part(b"IHDR", struct.pack(">IIBBBBB", SIZE, SIZE, 8, 6, 0, 0, 0)) + part(b"IDAT", zlib.compress(raw, 9)) + part(b"IEND", b"")


def main():
    folder = os.path.join(os.path.dirname(os.path.abspath(__file__)), "images", "packages")
    os.makedirs(folder, exist_ok=True)
    for name, look in PACKAGES.items():
        rows = [b"".join(dot(c + 0.5, r + 0.5, *look) for c in range(SIZE)) for r in range(SIZE)]
        with open(os.path.join(folder, name + ".png"), "wb") as file:
            file.write(png(rows))


if __name__ == "__main__":
    main()
