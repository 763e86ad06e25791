"""Charts: a digest in, a picture for the page out."""

from racecalc.figures.month import month
from racecalc.figures.oval import asked, newest, ran
from racecalc.figures.own_line import own_line
from racecalc.figures.sections import sections
from racecalc.figures.series import height, weight
from racecalc.figures.trace import trace

__all__ = ["asked", "height", "month", "newest", "own_line", "ran", "sections", "trace", "weight"]
