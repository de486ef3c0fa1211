"""The least that any season can be missing: the linear program and its solver."""
