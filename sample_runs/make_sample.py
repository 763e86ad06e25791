"""Write the sample daybook: ``python sample_runs/make_sample.py [FOLDER]``.

Without a folder it rewrites ``sample_runs/daybook``. The same script gives the same bytes.
"""

import csv
import sys
from collections.abc import Iterable
from pathlib import Path

from sample_stable import barn, fitness, gps, health, sky, stride, training, works
from sample_stable.horses import HORSES
from sample_stable.writing import distance_text

__all__ = ["main", "tables", "write"]

Rows = Iterable[tuple[str, ...]]

_HEADERS = {
    "horses": "horse,name,foaled,sex,colour,arrived,left,note",
    "owners": "owner,name,email",
    "shares": "horse,owner,percent,since,until",
    "tracks": "track,name,surface,lap,straight,finish_to_turn,rail_offset,width,hand,poles,"
    "latitude,longitude,bearing",
    "exercise": "date,horse,activity,distance,time,track,rider,note",
    "works": "work,date,horse,track,distance,time,from_pole,manner,from_gate,state,effort,company,"
    "rider,note",
    "splits": "work,pole,clock,lead",
    "measurements": "date,horse,what,value,shod,method,by,note",
    "fitness": "date,horse,step,speed,heart_rate,lactate,minutes_after",
    "footfalls": "date,horse,clip,foot,on,off,fps,speed",
    "surface": "date,track,state,moisture,moisture_method,cushion,upkeep,rain,note",
    "weather": "date,track,tmin,tmax,rain,wind,rh_min,rh_max,sun",
    "forecast": "issued,date,track,rain_chance,rain,tmin,tmax,wind,rh_min,rh_max",
    "targets": "horse,date,distance,track,what,note",
}


def _horse_rows() -> Rows:
    for horse in HORSES:
        yield (
            horse.id,
            horse.name,
            horse.foaled,
            horse.sex,
            horse.colour,
            horse.arrived,
            horse.left,
            horse.note,
        )


def _track_rows() -> Rows:
    for track in barn.TRACKS:
        yield (
            track.id,
            track.name,
            track.surface,
            track.lap,
            f"{track.straight_ft} ft",
            f"{track.finish_to_turn_ft} ft",
            "3 ft",
            f"{track.width_ft} ft",
            "left",
            track.poles,
            track.latitude,
            track.longitude,
            track.bearing,
        )


def _target_rows() -> Rows:
    for horse in HORSES:
        for target in horse.targets:
            yield (
                horse.id,
                target.date,
                distance_text(target.furlongs),
                barn.MILE.id,
                target.what,
                target.note,
            )


def _works_by_horse() -> dict[str, list[works.Work]]:
    states = sky.states()
    return {horse.id: works.works_of(horse, states) for horse in HORSES}


def tables() -> dict[str, Rows]:
    """Return the rows of every table, by table name."""
    states = sky.states()
    by_horse = _works_by_horse()
    every_work = sorted(
        (work for found in by_horse.values() for work in found), key=lambda work: (work.on, work.id)
    )
    every_work = works.companions(every_work)
    daily = [row for h in HORSES for row in training.exercise_rows(h, by_horse[h.id], states)]
    measured = [row for horse in HORSES for row in health.measurement_rows(horse)]
    return {
        "horses": _horse_rows(),
        "owners": barn.OWNERS,
        "shares": barn.SHARES,
        "tracks": _track_rows(),
        # By day, as a barn writes them down; sorting is stable, so a day's pieces stay in order.
        "exercise": sorted(daily, key=lambda row: row[0]),
        "works": works.work_rows(every_work),
        "splits": works.split_rows(every_work),
        "measurements": sorted(measured, key=lambda row: row[0]),
        "fitness": [row for horse in HORSES for row in fitness.fitness_rows(horse)],
        "footfalls": stride.footfall_rows(),
        "surface": sky.surface_rows(),
        "weather": sky.weather_rows(),
        "forecast": sky.forecast_rows(),
        "targets": _target_rows(),
    }


def write(folder: Path) -> None:
    """Write the sample daybook into a folder, which is made if need be."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "barn.toml").write_text(barn.BARN_TOML, encoding="utf-8", newline="\n")
    for name, rows in tables().items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(_HEADERS[name].split(","))
            writer.writerows(rows)
    (folder / "gps").mkdir(exist_ok=True)
    every_work = [work for found in _works_by_horse().values() for work in found]
    for name, text in gps.files(every_work).items():
        (folder / "gps" / name).write_text(text, encoding="utf-8", newline="\n")


def main() -> None:
    """Write where the command line says, or beside this script."""
    arguments = sys.argv[1:]
    write(Path(arguments[0]) if arguments else Path(__file__).resolve().parent / "daybook")


if __name__ == "__main__":
    main()
