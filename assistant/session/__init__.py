"""One job being worked through: a table that decides, facts that are folded, and what is told of them. Pure."""
