"""Makes the label of one job, in a process of its own with the lowest priority: ``python -m``, job, width, height.

It loads what sets pages; the process that listens and speaks takes no time and no memory for that.
"""

from __future__ import annotations

import os
import sys

from assistant.desk.record_page import LOWEST
from assistant.journal.port import JournalFault
from assistant.kept.label import label_of
from assistant.report.label import label_html
from assistant.report.pdf import html_to_pdf
from assistant.terminal.exits import Refusal


def print_label_page(job: str, wide: float, high: float) -> int:
    """Write the label of ``job`` on ``wide`` by ``high`` [mm] to the standard output, a PDF; or else a sentence."""
    os.nice(LOWEST)
    try:
        page = html_to_pdf(label_html(label_of(job, "", wide, high)))
    except (JournalFault, Refusal) as fault:
        sys.stderr.write(fault.sentence)
        return 1
    sys.stdout.buffer.write(page)
    return 0


if __name__ == "__main__":
    sys.exit(print_label_page(sys.argv[1], float(sys.argv[2]), float(sys.argv[3])))
