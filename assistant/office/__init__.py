"""The office: all bays of a workshop, live from the central store; search, tools, tables for other programs, logins."""
