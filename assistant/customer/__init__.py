"""What a customer sees of a job and answers to it: links, photos, pages, and the way of an answer into the journal."""
