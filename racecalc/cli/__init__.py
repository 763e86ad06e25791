"""The command ``racecalc``: the only room that prints or exits.

Heavy libraries are imported inside the commands, so that ``--help`` and completion answer at once.
"""

import click

from racecalc import __version__
from racecalc.cli.book import check, convert, lab, new, sources
from racecalc.cli.night import overnight, verify
from racecalc.cli.reports import (
    body,
    fitness,
    gait,
    load,
    next_work,
    pole_sheet,
    report,
    surface,
    work_review,
)

__all__ = ["main"]


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96})
@click.version_option(__version__, prog_name="racecalc")
def main() -> None:
    """Keep the records, and make the owner's reports, of Thoroughbreds in training.

    \b
    racecalc new my-barn                                 begin a daybook
    racecalc check my-barn                               what is wrong in it, row by row
    racecalc report my-barn larder-drizzle --month 2026-10 --out reports
    racecalc overnight my-barn --month 2026-10 --out reports
    racecalc verify reports
    racecalc body my-barn larder-drizzle --out reports
    racecalc load my-barn larder-drizzle --out reports
    racecalc fitness my-barn larder-drizzle --out reports
    racecalc gait my-barn larder-drizzle --out reports
    racecalc next-work my-barn larder-drizzle --out reports
    racecalc surface my-barn thimble-marsh --out reports
    racecalc work-review my-barn LD-261028 --out reports
    racecalc pole-sheet my-barn thimble-marsh --distance "6 f" --asked 1:13 --out reports
    racecalc convert "16.2 3/4" --kind height

    \b
    Exit status: 0 all well, 1 some reports failed or the book has errors, 2 usage,
    3 input refused, 4 nothing could be written, 5 another run is at work.

    \b
    Completion for bash (zsh and fish alike):
    eval "$(_RACECALC_COMPLETE=bash_source racecalc)"
    """


for _command in (
    new, check, report, overnight, body, load, fitness, gait, next_work, surface, work_review,
    pole_sheet, convert, sources, lab, verify,
):  # fmt: skip
    main.add_command(_command)
