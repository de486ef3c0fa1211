"""Stage 4: spacing into positions. Geometry only: no dates, no wants."""
