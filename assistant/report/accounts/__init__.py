"""What a job costs: the quote before it, the order list, and the figures for the invoice after it."""
