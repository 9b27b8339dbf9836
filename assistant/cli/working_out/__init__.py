"""``assistant work-out``: one small sheet for each thing that is worked out at the desk."""
