"""Several bays of one workshop: what a bay sends, who holds which job, one library of procedures, and the office."""
