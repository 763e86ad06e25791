"""What a report must be before any reader gets it.

A workbook may end well and its page be wrong all the same: that it ran to its end is known by its
last element (`blocks.blocks_of`); the rest is looked for in the finished files.
"""

import io
import re
from collections.abc import Mapping

from racecalc.errors import ReportError
from racecalc.report.blocks import Block

__all__ = ["check"]

# What a page could fetch, or run; a link that a reader may follow is no such thing. It is looked
# for in tags and styles alone, in small letters: the texts between them are the owner's and the
# trainer's. Each begins with letters that stand for themselves, which are found at once.
_MARKUP = re.compile(r"<style\b.*?</style>|<[^>]*>", re.DOTALL | re.IGNORECASE)
_FOREIGN = [
    re.compile(sign)
    for sign in (
        r"<script",
        r"<iframe",
        r"<link\b",
        r"@import",
        r"""src\s*=\s*["']?(?!data:)""",
        r"""url\(\s*["']?(?!data:|\#)""",
        r"""<use[^>]+href\s*=\s*["'](?!\#)""",
    )
]
_DRAWING = re.compile(r"<svg\b[^>]*\brole=\"img\"")
_LARGEST_BYTES = 5_000_000


def check(blocks: list[Block], files: Mapping[str, bytes], horse: str | None) -> None:
    """Look at a finished report.

    Parameters
    ----------
    blocks : list of dict
        Its page elements.
    files : mapping of str to bytes
        Its files: ``report.html`` and ``report.pdf`` are looked at.
    horse : str, optional
        The horse that it must be of; None where it is of no single one.

    Raises
    ------
    ReportError
        If it is another horse's, lacks a picture, would fetch something, or is no whole PDF.
    """
    if horse is not None and blocks[-1].get("horse") != horse:
        raise ReportError(f"the report is of {blocks[-1].get('horse')!r}, not of {horse!r}")
    page = files["report.html"].decode()
    pictures = [block for block in blocks if block["block"] == "picture"]
    wanted = sum(2 if picture.get("narrow") else 1 for picture in pictures)
    found = len(_DRAWING.findall(page))
    if found != wanted:
        raise ReportError(f"the page has {found} drawings, the workbook made {wanted}")
    markup = "".join(_MARKUP.findall(page)).lower()
    foreign = next(filter(None, (sign.search(markup) for sign in _FOREIGN)), None)
    if foreign:
        raise ReportError(f"the page would fetch or run something: {foreign[0]!r}")
    for name, content in files.items():
        if len(content) > _LARGEST_BYTES:
            raise ReportError(
                f"{name} has {len(content) / 1e6:.1f} MB, too much to send to anybody"
            )
    _check_paper(files["report.pdf"])


def _check_paper(content: bytes) -> None:
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        pages = len(PdfReader(io.BytesIO(content), strict=True).pages)
    except PyPdfError as error:
        raise ReportError(f"the PDF cannot be opened: {error}") from error
    if not pages:
        raise ReportError("the PDF has no page")
