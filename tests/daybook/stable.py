"""A small stable for tests, as text that a test may change."""

from pathlib import Path

from racecalc import daybook

BARN = """\
[barn]
name = "Lower Paddock"
trainer = "A. Trainer"
units = "imperial"
clock = "fifths"
paper = "letter"
language = "en"
"""

TABLES = {
    "horses": """\
horse,name,foaled,sex,colour,arrived,left,note
brindle,Brindle Tea Tray,2022-03-04,filly,bay,2024-01-05,,
007,Seven Sieves,2021,gelding,,,,
""",
    "owners": """\
owner,name,email
quill,Quentin Quillfeather,quill@stable.example
moth,Mabel Mothersole,
""",
    "shares": """\
horse,owner,percent,since,until
brindle,quill,60,,
brindle,moth,40%,,
007,moth,100,2025-01-01,
""",
    "tracks": """\
track,name,surface,lap,straight,finish_to_turn,rail_offset,width,hand,poles,latitude,longitude,bearing
main,Main Oval,dirt,1 mi,1320 ft,285 ft,3 ft,80 ft,left,1/16 mi,40.5,-75.25,90
hill,Hill Ring,synthetic,6 f,,,,,right,1/8 mi,,,
""",
    "exercise": """\
date,horse,activity,distance,time,track,rider,note
2026-10-01,brindle,jog,1 1/2 mi,,main,Jo Rider,easy
2026-10-02,007,walk,,40:00,,,
2026-10-03,brindle,rest,,,,,
""",
    "works": """\
work,date,horse,track,distance,time,from_pole,manner,from_gate,state,effort,company,rider,note
w1,2026-10-04,brindle,main,5 f,1:01 2/5,5/8,breezing,no,fast,steady,,Jo Rider,
w2,2026-10-05,007,hill,3 f,:37,,handily,yes,good,,brindle,,
""",
    "splits": """\
work,pole,clock,lead
w1,1/2,:12 2/5,left
w1,3/8,:24 3/5,
w1,1/4,:36 4/5,right
w1,1/8,:49,
w1,finish,1:01 2/5,
w1,+1/8,1:14 3/5,
""",
    "measurements": """\
date,horse,what,value,shod,method,by,note
2026-10-01,brindle,height,16.0 1/2,no,stick,Jo Rider,
2026-10-01,brindle,weight,"1,052 lb",,scale,,
2026-10-02,brindle,temperature,100.4 F,,,,
2026-10-02,007,condition,5.5,,,,
2026-10-02,007,pulse,34,,,,
""",
    "fitness": """\
date,horse,step,speed,heart_rate,lactate,minutes_after
2026-10-06,brindle,1,10 m/s,180,2.1,
2026-10-06,brindle,2,12 m/s,194,4.4,
2026-10-06,brindle,2,12 m/s,96,,2
""",
    "footfalls": """\
date,horse,clip,foot,on,off,fps,speed
2026-10-06,brindle,a,lf,12,34,240,35 mph
2026-10-06,brindle,a,rf,31,52,240,35 mph
""",
    "surface": """\
date,track,state,moisture,cushion,upkeep,rain,note
2026-10-01,main,fast,9 %,3 1/2 in,harrowed,0,
2026-10-02,main,muddy,15,,sealed,0.4 in,
""",
    "weather": """\
date,track,tmin,tmax,rain,wind,rh_min,rh_max,sun
2026-10-01,main,50 F,68 F,trace,0 mph,40,90,12.5
""",
    "forecast": """\
issued,date,track,rain_chance,rain,tmin,tmax,wind,rh_min,rh_max
2026-10-31,2026-11-01,main,30,5 mm,8 C,16 C,12 mph,50,95
""",
    "targets": """\
horse,date,distance,track,what,note
brindle,2026-11-20,6 f,main,maiden,
""",
}


def write_book(folder: Path, barn: str | None = BARN, **changed: str | bytes | None) -> Path:
    """Write the stable; a table given as None is left out, one given as text takes its place."""
    folder.mkdir(parents=True, exist_ok=True)
    if barn is not None:
        (folder / "barn.toml").write_text(barn, encoding="utf-8")
    for name, text in {**TABLES, **changed}.items():
        if isinstance(text, bytes):
            (folder / f"{name}.csv").write_bytes(text)
        elif text is not None:
            (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def with_row(table: str, row: str) -> str:
    """Return a table of the stable with one row more."""
    return TABLES[table] + row + "\n"


def next_row(table: str) -> int:
    """Return the spreadsheet row that `with_row` adds."""
    return len(TABLES[table].splitlines()) + 1


def problems_of(folder: Path, level: str | None = None, **changed: str | bytes | None) -> list[str]:
    """Return the problems of the changed stable as the check prints them."""
    found = daybook.read(write_book(folder, **changed)).problems
    return [str(problem) for problem in found if level in (None, problem.level)]
