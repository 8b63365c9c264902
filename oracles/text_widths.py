"""Advance widths of Liberation Sans Regular, in thousandths of an em, from the font's own tables.

Usage: python text_widths.py LiberationSans-Regular.ttf > ../testdata/golden/text_widths.csv
Reads the cmap (format 4), head and hhea/hmtx tables of the OpenType specification; no packages.
"""
import struct
import sys

data = open(sys.argv[1], "rb").read()
count = struct.unpack(">H", data[4:6])[0]
tables = {}
for i in range(count):
    tag, _, offset, _ = struct.unpack(">4sIII", data[12 + 16 * i : 28 + 16 * i])
    tables[tag.decode()] = offset


def u16(at):
    return struct.unpack(">H", data[at : at + 2])[0]


units = u16(tables["head"] + 18)
metrics = u16(tables["hhea"] + 34)


def format_4():
    cmap = tables["cmap"]
    for i in range(u16(cmap + 2)):
        offset = struct.unpack(">I", data[cmap + 8 + 8 * i : cmap + 12 + 8 * i])[0]
        if u16(cmap + offset) == 4:
            return cmap + offset
    raise SystemExit("no format 4 character map")


def glyph(code):
    at = format_4()
    segments = u16(at + 6) // 2
    ends, starts = at + 14, at + 16 + 2 * segments
    deltas, ranges = starts + 2 * segments, starts + 4 * segments
    for i in range(segments):
        if code <= u16(ends + 2 * i):
            start, offset = u16(starts + 2 * i), u16(ranges + 2 * i)
            if code < start:
                return 0
            if offset == 0:
                return (code + u16(deltas + 2 * i)) % 65536
            return u16(ranges + 2 * i + offset + 2 * (code - start))
    return 0


print(
    "# ORIGIN: oracles/text_widths.py, Python 3.11.7, Liberation Sans Regular of Debian's "
    "fonts-liberation 1:1.07.4-11, 2026-11-25"
)
print("letter,thousandths")
for code in [*range(32, 127), *map(ord, "–−±×·²³…")]:
    index = min(glyph(code), metrics - 1)
    width = u16(tables["hmtx"] + 4 * index) * 1000 / units
    print(f"U+{code:04X},{width:.1f}")
