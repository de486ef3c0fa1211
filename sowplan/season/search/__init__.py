"""The search for a season on the real beds, from what is free to the last touch."""
