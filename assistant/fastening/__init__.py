"""The trade's arithmetic of fastening: units, programmes, orders, tools, plausibility and how values are said. Pure."""
