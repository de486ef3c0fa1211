"""Planning again from a day on: what is sown stands, the rest moves as little as can be."""
