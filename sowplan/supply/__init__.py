"""Stage 6: a plan into needs: tasks, seed, trays and plants to buy, water; later growing mix."""
