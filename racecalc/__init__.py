"""The arithmetic, the record and the owner's report for Thoroughbreds in training.

Import the room you need: ``from racecalc import notation, pace, track``.
"""

__all__ = ["__version__"]

__version__ = "0.1.0"
