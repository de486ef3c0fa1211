"""Stage 6: a plan into needs: tasks, seed and trays; later water, mix and shopping."""
