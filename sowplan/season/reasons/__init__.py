"""Why something is missing, what would help, and what to know of a plan."""
