"""An invented report of an invented horse, as the exporters get it: an executed notebook."""

from typing import Any

import altair as alt
import nbformat
import pandas as pd

from racecalc.page import BLOCK_MIME, BLUE, INK, MUTED, OCHRE, RULE, RUST, SAGE

Block = dict[str, Any]

_CONFIG = {
    "font": "Libertinus Serif",
    "view": {"stroke": None},
    "axis": {
        "labelFontSize": 11,
        "titleFontSize": 11,
        "titleFontWeight": "normal",
        "labelColor": MUTED,
        "titleColor": MUTED,
        "domainColor": RULE,
        "tickColor": RULE,
        "gridColor": RULE,
        "grid": False,
    },
    "text": {"fontSize": 11, "color": INK},
}


def notebook(blocks: list[Block]) -> nbformat.NotebookNode:
    """Return a notebook with one cell for each page element, as a kernel would leave it."""
    cells = [nbformat.v4.new_markdown_cell("# Words for the keeper of the workbook only")]
    for block in blocks:
        data = {BLOCK_MIME: block, "text/plain": "<element>", "text/html": "<p>in the notebook</p>"}
        output = nbformat.v4.new_output("execute_result", data=data, execution_count=1)
        cell = nbformat.v4.new_code_cell("secret_code_cell()", execution_count=1, outputs=[output])
        cells.append(cell)
    return nbformat.v4.new_notebook(
        cells=cells,
        metadata={"kernelspec": {"name": "python3", "display_name": "Python 3"}},
    )


def masthead(**changes: str) -> Block:
    return {
        "block": "masthead",
        "name": "Saltmarsh Lullaby",
        "when": "October 2026",
        "day": "2026-10-31",
        "subtitle": "bay filly, three years old",
        "audience": "report for her owners",
        "barn": "Hollow Fen Stable",
        "trainer": "M. Arkwright",
        "language": "en",
        "paper": "letter",
        "description": "What Saltmarsh Lullaby did in October 2026 and what comes next.",
    } | changes


def numbers() -> Block:
    number = {"name": "works", "value": 4, "unit": None, "text": "4", "n": 4, "sources": []}
    return {
        "block": "numbers",
        "horse": "lullaby",
        "month": "2026-10",
        "numbers": [number | {"from": "works"}],
    }


def prose(*paragraphs: str, style: str = "body", title: str | None = None, **more: Any) -> Block:
    block = {"block": "prose", "title": title, "paragraphs": list(paragraphs), "style": style}
    return block | {"half": False} | more


def table(heads: str, rows: list[list[Any]], **more: Any) -> Block:
    """Return a table; a head that begins with ``>`` aligns its column right."""
    columns = [
        {"head": head.lstrip(">"), "align": "right" if head.startswith(">") else "left"}
        for head in heads.split("|")
    ]
    block = {"block": "table", "title": None, "caption": None, "note": None, "half": False}
    return block | {"columns": columns, "rows": rows} | more


def picture(spec: dict[str, Any], alt_text: str, **more: Any) -> Block:
    block = {"block": "picture", "title": None, "caption": None, "half": False, "narrow": None}
    return block | {"spec": spec, "alt": alt_text} | more


def _month() -> pd.DataFrame:
    rows = []
    for day in range(1, 32):
        if day in (4, 11, 17, 18, 25):
            continue
        rows.append((day, "jog", 2.0, 0))
        if day in (3, 10, 16, 24):
            rows.append((day, "work", 1.0 + 0.5 * (day > 15), 2))
        elif day % 7 not in (5, 6):
            rows.append((day, "gallop", 3.0, 1))
    frame = pd.DataFrame(rows, columns=["day", "activity", "miles", "order"])
    frame["words"] = [
        f"October {day}: {miles:g} miles of {activity}"
        for day, activity, miles in zip(
            frame["day"], frame["activity"], frame["miles"], strict=True
        )
    ]
    return frame


def month_chart(width: int = 680, height: int = 230) -> dict[str, Any]:
    step = 1 if width > 500 else 5
    days = [day for day in range(1, 32) if day % step == 0 or day == 1]
    axis = alt.Axis(values=days, labelAngle=0, ticks=False, domain=False, title=None)
    bars = (
        alt.Chart(_month())
        .mark_bar()
        .encode(
            x=alt.X("day:O", scale=alt.Scale(domain=list(range(1, 32)), padding=0.15), axis=axis),
            y=alt.Y("sum(miles):Q", axis=alt.Axis(title="miles", values=[0, 2, 4], grid=True)),
            color=alt.Color(
                "activity:N",
                scale=alt.Scale(domain=["work", "gallop", "jog"], range=[RUST, OCHRE, SAGE]),
                legend=alt.Legend(orient="top", title=None, labelFontSize=11, labelColor=INK),
            ),
            order="order:O",
            description="words:N",
        )
    )
    labels = pd.DataFrame({"day": [3, 10, 16, 24], "miles": 5.4})
    labels["words"] = ["4 f 49⅖", "4 f 48⅘", "5 f 1:01", "6 f 1:13⅖"]
    marks = alt.Chart(labels if width > 500 else labels[3:]).mark_text(
        color=RUST, fontWeight="bold"
    )
    texts = marks.encode(x="day:O", y="miles:Q", text="words:N")
    chart = (bars + texts).properties(width=width - 40, height=height - 60)
    return chart.configure(**_CONFIG).to_dict()


def pace_chart() -> dict[str, Any]:
    frame = pd.DataFrame({"seconds": [12.8, 12.4, 12.0, 12.0, 11.8, 12.2]})
    frame["furlong"] = ["¾\u2013⅝", "⅝\u2013½", "½\u2013⅜", "⅜\u2013¼", "¼\u2013⅛", "⅛\u2013wire"]
    frame["low"], frame["high"] = frame["seconds"] - 0.2, frame["seconds"] + 0.2
    frame["words"] = [
        f"{where}: {seconds} s, give or take 0.2 s"
        for where, seconds in zip(frame["furlong"], frame["seconds"], strict=True)
    ]
    base = alt.Chart(frame).encode(
        x=alt.X(
            "furlong:N",
            sort=None,
            axis=alt.Axis(labelAngle=0, title=None, ticks=False, domain=False),
        )
    )
    scale = alt.Scale(domain=[13.1, 11.5], zero=False)
    axis = alt.Axis(values=[12, 12.5, 13], labelExpr="datum.label + ' s'", title=None, grid=True)
    bars = base.mark_rule(color=MUTED).encode(y=alt.Y("low:Q", scale=scale, axis=axis), y2="high:Q")
    dots = base.mark_point(size=70, filled=True, color=RUST, opacity=1).encode(
        y=alt.Y("seconds:Q", scale=scale), description="words:N"
    )
    return (bars + dots).properties(width=285, height=170).configure(**_CONFIG).to_dict()


def weight_chart() -> dict[str, Any]:
    frame = pd.DataFrame({"month": ["Jun", "Jul", "Aug", "Sep", "Oct"]})
    frame["pounds"] = [1048, 1052, 1055, 1056, 1062]
    frame["words"] = [
        f"{m}: {p:,} lb" for m, p in zip(frame["month"], frame["pounds"], strict=True)
    ]
    line = (
        alt.Chart(frame)
        .mark_line(color=BLUE, point={"color": BLUE, "size": 50})
        .encode(
            x=alt.X("month:N", sort=None, axis=alt.Axis(labelAngle=0, title=None)),
            y=alt.Y(
                "pounds:Q", scale=alt.Scale(zero=False), axis=alt.Axis(title="lb", tickCount=4)
            ),
            description="words:N",
        )
    )
    return line.properties(width=275, height=150).configure(**_CONFIG).to_dict()


def _works() -> Block:
    faster = {"text": "faster, 0.6 s (0.2 to 1.0)", "strong": True}
    rows: list[list[Any]] = [
        ["Sat 3", "4 f, easy", "49⅖", "12.35", "on it"],
        ["Sat 10", "4 f, steady", "48⅘", "12.20", "on it"],
        ["Fri 16", "5 f, threshold", "1:01", "12.20", "on it"],
        ["Sat 24", "6 f, threshold", "1:13⅖", "12.23", faster],
    ]
    note = 'Hand-timed: each split is good to about a fifth. "Her line" is her own works.'
    return table(
        "day|distance|>time|>a furlong|against her line",
        rows,
        title="Her works",
        note=note,
        half=True,
    )


def _plan() -> Block:
    strong = [{"text": text, "strong": True} for text in ("Tue 3", "5 f, sharp: 1:00⅖", "8 in 10")]
    rows: list[list[Any]] = [["Sun 1", "too soon after rain", "3 in 10"], strong]
    rows.append(["Thu 5", "same, a day nearer the race", "9 in 10"])
    note = "A proposal. The trainer decides on the morning, with the track's own report."
    return table("day|plan|>good footing", rows, title="What comes next", note=note, half=True)


def _ledger() -> Block:
    rows = [
        [f"Oct {day}", "1 1\N{FRACTION SLASH}16 mi", f"1:{day:02d}⅖", "fast", f"{1000 + day:,} lb"]
        for day in range(1, 32)
    ]
    heads = "day|distance|>time|footing|>on the scale"
    return table(heads, rows * 2, title="Every day", caption="Ground covered, day by day.")


def report(**changes: str) -> list[Block]:
    """Return a whole report of four or five pages; ``changes`` go into the masthead."""
    items = [
        ("4", "works", "19 furlongs against the watch", "3 works and 13 f in September"),
        ("3.8", "km", "fast ground in 30 days", "her usual: 3 to 5 km"),
        ("16.1¼", "hands", "at the withers, barefoot", "no real change since June"),
        ("1,062", "lb", "on the scale, 28 October", "+6 lb: within the scale's noise"),
    ]
    keys = ("value", "unit", "label", "compare")
    return [
        masthead(**changes),
        prose(
            "She worked four times, each a little sharper than the last, and came out of every one "
            "well. Her six furlongs on the 24th was the quickest she has gone for the distance "
            "here; the difference is larger than the error of the watch. She has stopped growing. "
            "Rain decides the next work: Tuesday looks best.",
            style="lead",
        ),
        {"block": "figures", "items": [dict(zip(keys, item, strict=True)) for item in items]},
        picture(
            month_chart(),
            "Bars of the miles covered each day of October: jog, gallop and four works. "
            "The longest work was six furlongs on the 24th.",
            title="The month, day by day",
            narrow=month_chart(330, 220),
        ),
        _works(),
        _plan(),
        picture(
            pace_chart(),
            "Seconds for each furlong of the work on the 24th, from 12.8 to 11.8.",
            title="Furlong by furlong",
            caption="Bars: the error of a hand-held watch. Higher is faster.",
            half=True,
        ),
        picture(
            weight_chart(),
            "Weight at the end of each month from June, 1,048 to 1,062 lb.",
            title="On the scale",
            caption="A change under 20 lb cannot be told from the scale's own noise.",
            half=True,
        ),
        {"block": "pagebreak"},
        prose(
            "Her height, barefoot and by the same person, has stayed within the error of the stick "
            "since June. The last change that was real was between March and May.",
            "Weight follows the season. Nothing here is a diagnosis.",
            title="Body",
        ),
        picture(
            month_chart(),
            "The same bars of miles a day.",
            title="Load",
            caption="Fast is at or above 16 m/s.",
        ),
        _ledger(),
        prose(
            "Works were timed by hand, to a fifth of a second, rounded down. Heights by stick.",
            "Two days have no entry.",
            style="small",
            title="How this was measured",
        ),
        prose(
            "This report describes records. The veterinarian, the trainer, the track's rules and "
            "local law decide.",
            style="caution",
        ),
        numbers(),
    ]
