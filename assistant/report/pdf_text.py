"""The one adapter of PDFium: what stands on the pages of a PDF, for a record that is not what it was."""

from __future__ import annotations


def page_texts(data: bytes) -> list[str] | None:
    """Return the text of each page of the PDF ``data``, without spaces and line ends; None when it cannot be read.

    Where a line ends is the choice of the library that set it, so it tells nothing of what was written.
    """
    # Here, not above: it is a large library, and only a changed record needs it.
    import pypdfium2  # type: ignore[import-untyped]  # noqa: PLC0415

    try:
        document = pypdfium2.PdfDocument(data)
        try:
            return ["".join(str(page.get_textpage().get_text_range()).split()) for page in document]
        finally:
            document.close()
    except (pypdfium2.PdfiumError, UnicodeError):
        return None
