"""The parts list as comma-separated values (RFC 4180), for a spreadsheet or a shop."""

import csv
from io import StringIO

from pedalwright.report.pack.buying import bought
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.roles import role_of
from pedalwright.report.walk_document import reading_order

COLUMNS = ("part", "group", "value", "sort", "rating", "tolerance", "role", "section", "line", "si_value")
RISKY = ("=", "+", "-", "@", "\t", "\r")
"""a spreadsheet takes a cell that begins so for a formula"""


def parts_csv(dossier: Dossier) -> str:
    """A row for every part, in reading order; `si_value` is in ohms, farads or henries."""
    stream = StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for one in sorted(bought(dossier), key=lambda one: reading_order(one.part.ref)):
        part = one.part
        cells = (
            part.ref,
            one.group,
            one.value,
            one.sort,
            one.rating,
            one.tolerance,
            role_of(dossier, part.ref),
            part.section,
            str(part.span.line),
            "" if part.value is None else f"{part.value:.6g}",
        )
        writer.writerow([_harmless(cell) for cell in cells])
    return stream.getvalue()


def _harmless(cell: str) -> str:
    """A text that no spreadsheet computes."""
    return f"'{cell}" if cell.startswith(RISKY) else cell
