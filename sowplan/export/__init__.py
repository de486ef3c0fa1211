"""Stage 7: a plan into files. Draws and writes what the plan says; computes no growth."""
