"""``sowplan fit``: the question as typed, the answer in words, numbers or a picture."""

from sowplan.commands.fit.command import fit

__all__ = ["fit"]
