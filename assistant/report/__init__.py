"""From what was done to papers: records, work sheets, labels. Pure up to the PDF writer."""
