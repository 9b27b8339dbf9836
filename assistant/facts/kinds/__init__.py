"""What only one kind of step writes down or asks: one module for each kind, as in the other rooms."""
