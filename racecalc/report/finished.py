"""What a report is asked within and what it comes to, without the libraries that make one."""

from dataclasses import dataclass

__all__ = ["MONTHLY", "Limits", "Report"]

MONTHLY = "monthly_report.ipynb"


@dataclass(frozen=True)
class Limits:
    """What a workbook that runs warm may take; the largest here takes seconds and 0.2 GB.

    Attributes
    ----------
    seconds, megabytes : float
        The time, and the memory of its own.
    """

    seconds: float = 600
    megabytes: float = 4000


@dataclass(frozen=True)
class Report:
    """A finished report.

    Attributes
    ----------
    files : dict of str to bytes
        Its files, by name.
    recorded : bool
        Whether there was any record to tell of.
    day : str
        The last day that it tells of.
    summary : tuple of str
        The sentences at its head.
    """

    files: dict[str, bytes]
    recorded: bool
    day: str = ""
    summary: tuple[str, ...] = ()
