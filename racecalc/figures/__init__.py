"""Charts: a digest in, a picture for the page out."""

from racecalc.figures.month import month
from racecalc.figures.sections import sections
from racecalc.figures.series import height, weight

__all__ = ["height", "month", "sections", "weight"]
