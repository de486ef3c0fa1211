"""The commands, a module each: parse, call, print. Only here are the clock and terminal read."""
