"""The desk: drafts of procedures, from questions, from a tightening table and from the steps that strip."""
