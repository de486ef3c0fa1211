"""Stage 1: text into records. Nothing here computes; it reads, checks and names problems."""
