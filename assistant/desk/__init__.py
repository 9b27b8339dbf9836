"""The office's pages: jobs and their records, procedures, and what the assistant would say in them."""
