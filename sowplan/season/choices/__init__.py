"""What may be sown: each crop by day, way and place, as numbers the search can weigh."""
