"""From facts to what is said about them, in the language of the job: each module tells some classes of facts. Pure."""
