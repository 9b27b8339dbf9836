"""The record of a job: what it says, and its forms as page, paper, CSV and JSON."""
