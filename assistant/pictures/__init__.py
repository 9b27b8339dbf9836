"""Photos of a job: drawn anew, kept beside the journal, taken by the page or by the camera of the bay."""
