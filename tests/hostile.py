"""A daybook whose owner means no harm, but whose texts are all that can go wrong with a page."""

import csv
from pathlib import Path

BARN = r"""[barn]
name = 'Barn <b>"#1"</b> & Sons {x} $y$ *z*'
trainer = '\ O’Strain_er @home [1] = ~ `tick`'
units = "metric"
clock = "hundredths"
paper = "a4"
language = "en"
"""

SCRIPT = "<script>alert(1)</script>"
MARKUP = r"#let x = 1 \ $y$ *bold* _under_ `code` [a](b) {c} @ref <lbl> // ~ === &amp; ${d} \n"
RIGHT_TO_LEFT = "שָׁלוֹם عَرَبِي‎"
HIDDEN = "ze\u200bro\u200dwi\u2060dth"
EMOJI = "🐎🏇🏽👩‍👧"
FORMULA = "=1+1 \"quoted\" 'single' ../../etc/passwd"
LONG = "endless-" * 1250
UNBROKEN = "x" * 10_000

NAMES = {
    "Infinity": f"Twelve {SCRIPT}",
    "007": FORMULA,
    "None": f"{RIGHT_TO_LEFT} {EMOJI}",
    "NA": MARKUP,
    "no": f"{{}} ../.. / \\ {HIDDEN} " + "Very " * 12 + "Long",
}
TRACK = f"Ring {SCRIPT} {{#}} $1"
# What a report of the horse NA must print as it stands, each in a note of its own.
TEXTS = [
    *(SCRIPT, MARKUP, RIGHT_TO_LEFT, HIDDEN, EMOJI, LONG, UNBROKEN, "\\", "{{ 1 + 1 }}"),
    '=SUM(A1) "quoted" ../..',
]


def _works() -> list[list[str]]:
    twelve = [
        [f"t{day}", f"2026-10-{day:02}", "Infinity", "ring", "1200 m", "1:15.30", "fast", ""]
        for day in (1, 2, 4, 5, 8, 11, 13, 16, 19, 22, 25, 31)
    ]
    noted = [
        [f"n{n}", f"2026-10-{n + 1:02}", "NA", "ring", "600 m", f"38.{n:02}", "", text]
        for n, text in enumerate(TEXTS, start=1)
    ]
    long = [["p", "2026-10-09", "007", "ring", "4000 m", "4:48.00", "sloppy", "=1+1"]]
    return twelve + noted + long


def _splits() -> list[list[str]]:
    short = [
        [f"t{day}", f"{800 - 400 * n} m" if n < 2 else "+200 m", clock]
        for day in (1, 2, 4, 5, 8, 11, 13, 16, 19, 22, 25, 31)
        for n, clock in enumerate(("0:25.10", "0:50.00", "1:29.00"))
    ]
    poles = [f"{3900 - 100 * n} m" for n in range(39)] + ["+100 m"]
    clocks = [7.15 * (n + 1) for n in range(39)] + [296.0]
    long = [
        ["p", pole, f"{int(at // 60)}:{at % 60:05.2f}"]
        for pole, at in zip(poles, clocks, strict=True)
    ]
    return short + long


def _measurements() -> list[list[str]]:
    ways = [("no", "stick"), ("yes", "stick"), ("", "laser"), ("no", ""), ("", "")]
    heights = [
        [f"2026-{month:02}-0{n + 1}", "None", "height", f"{158 + n + month / 10} cm", shod, method]
        for month in (1, 4, 7, 10)
        for n, (shod, method) in enumerate(ways)
    ]
    weights = [
        [f"2026-10-{day:02}", "None", "weight", f"{480 + day % 7} kg", "", "scale"]
        for day in range(1, 29)
    ]
    return heights + weights


TABLES: dict[str, list[list[str]]] = {
    "horses": [
        ["horse", "name", "foaled", "sex", "colour", "note"],
        *(
            [horse, name, "2022", "mare" if horse == "NA" else "", "<i>bay</i> & $grey$", "{}"]
            for horse, name in NAMES.items()
        ),
    ],
    "owners": [["owner", "name"], ["o1", "Owen <b>Owner</b>"]],
    "tracks": [
        ["track", "name", "surface", "lap", "poles"],
        ["ring", TRACK, "dirt", "2000 m", "100 m"],
    ],
    "works": [
        ["work", "date", "horse", "track", "distance", "time", "state", "note"],
        *_works(),
    ],
    "splits": [["work", "pole", "clock"], *_splits()],
    "measurements": [["date", "horse", "what", "value", "shod", "method"], *_measurements()],
    "exercise": [
        ["date", "horse", "activity", "distance", "time", "track", "note"],
        *(
            [f"2026-10-{day:02}", "Infinity", "walk" if day % 3 else "gallop", "1600 m", "", "", ""]
            for day in range(1, 32)
        ),
        ["2026-10-03", "Infinity", "nonsense", "", "", "", SCRIPT],
        ["2026-09-03", "no", "walk", "1600 m", "", "", UNBROKEN],
    ],
    "surface": [
        ["date", "track", "state", "rain", "note"],
        *([f"2026-10-{day:02}", "ring", "sloppy", f"{day} mm", ""] for day in range(1, 15, 2)),
        *([f"2026-10-{day:02}", "ring", "muddy", "0", ""] for day in range(2, 15, 2)),
        ["2026-10-20", "ring", "fast", "0", f"{MARKUP} {UNBROKEN}"],
    ],
    "targets": [
        ["horse", "date", "distance", "track", "what"],
        ["NA", "2026-11-20", "1200 m", "ring", f"{SCRIPT} {UNBROKEN}"],
        ["NA", "2026-11-20", "1200 m", "ring", MARKUP],
    ],
}


def write(folder: Path) -> Path:
    """Write the daybook into a folder and return it."""
    folder.mkdir(parents=True)
    (folder / "barn.toml").write_text(BARN, encoding="utf-8")
    for name, lines in TABLES.items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(lines)
    return folder
