"""Tables as Parquet files, for programs that reckon with them. The adapter of pyarrow."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice

from assistant.office.tables import CellKind, TableCell
from assistant.terminal.exits import Exit, Refusal

_ROWS = 10_000
_NOT_INSTALLED = (
    "Parquet files need the extra for workshops; install it (pip install 'step-assistant[workshop]'), "
    "or take the form csv."
)


def parquet_file(columns: Mapping[str, CellKind], rows: Iterable[Sequence[TableCell]]) -> bytes:
    """Return the file: decimals as decimal128 with nine digits behind the point, times as milliseconds in UTC.

    Raises:
        Refusal: pyarrow is not installed.
    """
    try:
        import pyarrow as pa  # noqa: PLC0415 - whoever exports nothing has no need of it
        import pyarrow.parquet as pq  # noqa: PLC0415
    except ImportError as fault:
        raise Refusal(_NOT_INSTALLED, Exit.USAGE) from fault
    kinds = {
        CellKind.TEXT: pa.string(),
        CellKind.WHOLE: pa.int64(),
        CellKind.DECIMAL: pa.decimal128(28, 9),
        CellKind.YES: pa.bool_(),
        CellKind.TIME: pa.timestamp("ms", tz="UTC"),
    }
    schema = pa.schema([(name, kinds[kind]) for name, kind in columns.items()])
    file, left = io.BytesIO(), iter(rows)
    with pq.ParquetWriter(file, schema) as writer:
        while some := list(islice(left, _ROWS)):
            lists = zip(*some, strict=True)
            given = [pa.array(list(one), type=field.type) for one, field in zip(lists, schema, strict=True)]
            writer.write_table(pa.Table.from_arrays(given, schema=schema))
    return file.getvalue()
