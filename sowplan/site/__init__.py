"""Stage 2: a place into daily series. Knows nothing of crops."""
