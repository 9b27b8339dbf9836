"""Writes the label of a job: what was renewed, when, at what reading, and when it is due again."""

from __future__ import annotations

from collections.abc import Callable

from assistant.bay.refusing import guarded
from assistant.cli.printing.options import LabelOptions, ToolLabelOptions
from assistant.kept.label import label_of
from assistant.report.label import DPI, Label, as_png, label_html, parse_label_size
from assistant.report.pdf import html_to_pdf
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, put


def write_label(job: str, options: LabelOptions) -> Exit:
    """Write the label of ``job`` as a page, as a picture, or as both."""
    return guarded(lambda: put_label(options, lambda wide, high: label_of(job, options.part, wide, high)))


def put_label(options: ToolLabelOptions, make: Callable[[float, float], Label]) -> Exit:
    """Write the label that ``make`` gives for a width and a height [mm].

    Raises:
        Refusal: an option makes no sense, there is no room for it, or it cannot be written.
    """
    pdf, png, dpi, force = options.pdf, options.png, options.dpi, options.force
    if pdf is None and png is None:
        raise Refusal("Say what to write: --pdf or --png with a file.", Exit.USAGE)
    if dpi not in DPI:
        raise Refusal(f"--dpi {dpi} is not known; give {', '.join(map(str, DPI))}.", Exit.USAGE)
    measured = parse_label_size(options.size)
    if isinstance(measured, str):
        raise Refusal(measured, Exit.USAGE)
    for path, form in ((pdf, "pdf"), (png, "png")):
        if path is not None:
            check_free(path, force=force, form=form)
    label = make(*measured)
    forms = [(pdf, html_to_pdf(label_html(label)))] if pdf is not None else []
    forms += [(png, as_png(label, dpi))] if png is not None else []
    for path, data in forms:
        put(path, data, force=force, private=True)
    return Exit.OK
