"""Stage 5: wants into a plan. The frozen plan is the last thing this stage makes."""
