"""Parquet files broken on purpose, each in one place, for fuzz/corpus/parquet.

pyarrow writes a whole file; bytes are then changed by hand. Run once with the folder to write to:
    python oracles/broken_parquet.py fuzz/corpus/parquet
Python 3.11, pyarrow 26.0.1, 25 November 2026.
"""

import io
import sys
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

ROWS = 64


def written(forces=None, nullable=False, **options):
    """One column of forces, and what the file says of its only chunk."""
    forces = forces or [700.0 + row % 4 for row in range(ROWS)]
    schema = pa.schema([pa.field("force_n", pa.float64(), nullable=nullable)])
    file = io.BytesIO()
    pq.write_table(pa.table({"force_n": forces}, schema=schema), file, write_statistics=False,
                   **{"compression": "none", "use_dictionary": False, **options})
    return file.getvalue(), pq.ParquetFile(file).metadata.row_group(0).column(0)


def replaced(data, at, old, new):
    """`new` for the first `old` from `at`."""
    found = data.index(old, at)
    return data[:found] + new + data[found + len(old):]


def varint(number):
    out = bytearray()
    while number >= 0x80:
        out.append(number & 0x7F | 0x80)
        number >>= 7
    return bytes(out) + bytes([number])


def number(value):
    """A field that follows the last, holding a 32-bit number."""
    return b"\x15" + varint((value << 1) ^ (value >> 63))


def page_by_a_dictionary_never_written():
    # DataPageHeader: number of values, then the coding: plain (0) becomes by dictionary (8).
    data, chunk = written()
    return replaced(data, chunk.data_page_offset, number(ROWS) + number(0), number(ROWS) + number(8))


def dictionary_stepped_over():
    # ColumnMetaData, fields 9 and 11: the dictionary is said to start where the data page does.
    data, chunk = written(use_dictionary=True)
    page, dictionary = varint(chunk.data_page_offset * 2), varint(chunk.dictionary_page_offset * 2)
    return replaced(data, 0, b"\x26" + page + b"\x26" + dictionary, b"\x26" + page + b"\x26" + page)


def page_claims_2e60_elements():
    # After the structure in field 5 of the page's header: field 15, a list of 2**60 truths.
    data, chunk = written()
    at = chunk.data_page_offset
    end = data.index(b"\x00\x00", at) + 1
    return data[:end] + b"\xa9\xf2" + varint(2 ** 60) + data[end:]


def page_claims_2_gigabytes():
    # PageHeader, field 2: how long the page is once unpacked.
    data, chunk = written(compression="snappy")
    at, size = chunk.data_page_offset, ROWS * 8
    return replaced(data, at, b"\x15\x00" + number(size), b"\x15\x00" + number(2 ** 31 - 1))


def levels_longer_than_the_page():
    # PageHeader, field 2, and DataPageHeaderV2, field 5: 34 bytes are said to unpack to 63, and all
    # of them to be levels.
    data, chunk = written([700.0] * 4, nullable=True, data_page_version="2.0")
    at = chunk.data_page_offset
    data = replaced(data, at, number(34), number(63))
    return replaced(data, at, number(0) + number(2) + number(0), number(0) + number(63) + number(0))


def one_run_claims_a_billion_rows():
    # DataPageHeader, field 1, and the only run of the page: 2**30 times the only value.
    data, chunk = written([700.0] * ROWS, use_dictionary=True)
    at, rows = chunk.data_page_offset, 2 ** 30
    # One byte says how many bits an index takes; the length of a run is doubled.
    run, longer = varint(ROWS * 2), varint(rows * 2)
    more = len(longer) - len(run)
    size = 2 + len(run)
    data = replaced(data, at, b"\x01" + run + b"\x00", b"\x01" + longer + b"\x00")
    data = replaced(data, at, number(size) * 2, number(size + more) * 2)
    data = replaced(data, at, number(ROWS), number(rows))
    # ColumnMetaData, fields 6 and 7, a 64-bit number each: how long the chunk is.
    old, new = chunk.total_compressed_size, chunk.total_compressed_size + 2 * more
    return replaced(data, at, (b"\x16" + varint(old * 2)) * 2, (b"\x16" + varint(new * 2)) * 2)


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    for broken in [page_by_a_dictionary_never_written, dictionary_stepped_over,
                   page_claims_2e60_elements, page_claims_2_gigabytes,
                   levels_longer_than_the_page, one_run_claims_a_billion_rows]:
        (folder / f"{broken.__name__}.parquet").write_bytes(broken())
