"""The error family: every message says what was found, what is allowed and what to do."""

__all__ = [
    "ClusterError",
    "DaybookError",
    "LockedError",
    "NotationError",
    "OutOfRangeError",
    "RacecalcError",
    "ReportError",
    "UnknownHorseError",
]


class RacecalcError(Exception):
    """Anything that racecalc refuses; its text is fit to show to a user as it stands."""


class NotationError(RacecalcError, ValueError):
    """A written value that cannot be read, or can be read in two ways."""


class OutOfRangeError(RacecalcError, ValueError):
    """A value that is impossible for its quantity, such as a straight longer than its lap."""


class DaybookError(RacecalcError):
    """A daybook that cannot be used at all: no folder, no horses, an unreadable file."""


class UnknownHorseError(DaybookError):
    """A horse that the daybook does not hold."""


class ReportError(RacecalcError):
    """A workbook that could not be run, or a report that could not be set."""


class LockedError(RacecalcError):
    """A folder of reports that another run is writing."""


class ClusterError(RacecalcError):
    """A cluster that cannot be reached, or whose machines have another racecalc."""
