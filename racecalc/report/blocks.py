"""The page elements that an executed notebook carries, checked and put in rows.

A report is made from the outputs that carry `BLOCK_MIME`, in their order, and from nothing else of
the notebook: no code, no markdown and no other output can reach an owner.
"""

import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from racecalc.errors import ReportError
from racecalc.page import BLOCK_MIME

__all__ = ["Block", "blocks_of", "numbers_in", "numbers_of", "rows_of"]

Block = dict[str, Any]

# What each kind must hold; anything else that a template looks at may be absent or null.
_NEEDED: dict[str, tuple[str, ...]] = {
    "masthead": ("name", "when", "day", "subtitle", "audience", "barn", "language", "paper"),
    "prose": ("paragraphs", "style"),
    "figures": ("items",),
    "picture": ("alt", "spec"),
    "table": ("columns", "rows"),
    "pagebreak": (),
    "numbers": ("numbers",),
}

# Characters that neither XML nor a page can show: controls, lone surrogates, non-characters.
_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def blocks_of(notebook: Mapping[str, Any]) -> list[Block]:
    """Return the page elements of an executed workbook, in order.

    Parameters
    ----------
    notebook : mapping
        A notebook in nbformat 4, as `nbformat.read` gives it.

    Returns
    -------
    list of dict
        The first is the masthead, the last holds the numbers.

    Raises
    ------
    ReportError
        If the notebook holds no report, if an element is not whole, or if the workbook did not run
        to its end (its last element, the numbers, is missing).
    """
    blocks = [_clean(block) for block in _outputs(notebook)]
    if not blocks:
        raise ReportError(
            "this notebook holds no report: no output carries a racecalc page element; "
            "run a report workbook first, then export the executed copy"
        )
    for place, block in enumerate(blocks, start=1):
        _check(block, place)
    _check_ends([block["block"] for block in blocks])
    return blocks


def numbers_of(notebook: Mapping[str, Any]) -> Block:
    """Return what ``report.json`` holds: every number that the report prints.

    Raises
    ------
    ReportError
        As `blocks_of`.
    """
    return numbers_in(blocks_of(notebook))


def numbers_in(blocks: list[Block]) -> Block:
    """Return what `numbers_of` returns, from what `blocks_of` returned."""
    return {key: value for key, value in blocks[-1].items() if key != "block"}


def rows_of(blocks: list[Block]) -> list[list[Block]]:
    """Put page elements in rows: two consecutive halves of one group side by side, all else alone.

    The masthead and the numbers are left out, they have places of their own.
    """
    rows: list[list[Block]] = []
    waiting = False
    for block in blocks:
        if block["block"] in ("masthead", "numbers"):
            waiting = False
            continue
        half = bool(block.get("half"))
        if half and waiting and rows[-1][0].get("group") == block.get("group"):
            rows[-1].append(block)
            waiting = False
        else:
            rows.append([block])
            waiting = half
    return rows


def _outputs(notebook: Mapping[str, Any]) -> Iterator[Any]:
    for cell in notebook.get("cells", []):
        for output in cell.get("outputs", []):
            data = output.get("data", {})
            if BLOCK_MIME in data:
                yield data[BLOCK_MIME]


def _check(block: Any, place: int) -> None:
    kind = block.get("block") if isinstance(block, dict) else None
    if kind not in _NEEDED:
        raise ReportError(
            f"page element {place} is of the unknown kind {kind!r}; "
            f"known are {', '.join(_NEEDED)}; run the workbook again with this racecalc"
        )
    missing = [key for key in _NEEDED[kind] if block.get(key) is None]
    if missing:
        raise ReportError(
            f"page element {place} ({kind}) lacks {', '.join(missing)}; "
            "run the workbook again with this racecalc"
        )
    if kind == "masthead" and not _is_day(block["day"]):
        raise ReportError(f"the masthead's day is {block['day']!r}; write it as 2026-10-31")


def _is_day(text: Any) -> bool:
    try:
        return bool(date.fromisoformat(text).isoformat() == text)
    except (TypeError, ValueError):
        return False


def _check_ends(kinds: list[str]) -> None:
    if kinds[0] != "masthead" or kinds.count("masthead") > 1:
        raise ReportError(
            f"a report begins with its one masthead, this notebook with a {kinds[0]} "
            f"and {kinds.count('masthead')} mastheads; show the masthead in the first cell"
        )
    if kinds[-1] != "numbers" or kinds.count("numbers") > 1:
        raise ReportError(
            f"the workbook did not run to its end: its last page element is a {kinds[-1]}, "
            "not the numbers; run it again and look at the first cell that failed"
        )


def _clean(value: Any) -> Any:
    """Copy plain JSON data without the characters that no page can show."""
    if isinstance(value, str):
        return value if value.isprintable() else _UNPRINTABLE.sub("", value)
    if isinstance(value, dict):
        return {_clean(key): _clean(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_clean(item) for item in value]
    return value
