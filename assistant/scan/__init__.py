"""What a barcode or a QR code means to a bay: which keys are a reader's, and what was read. Pure."""
