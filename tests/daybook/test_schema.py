"""The schema is written once; the README's table is what `markdown` says."""

import re
from pathlib import Path

import pytest

from racecalc import daybook
from racecalc.daybook.table import empty_frame

ROOT = Path(__file__).resolve().parents[2]

# The columns as the contract lists them; * marks those that may not be blank.
CONTRACT = {
    "horses": "horse* name* foaled sex colour arrived left note",
    "owners": "owner* name* email",
    "shares": "horse* owner* percent* since until",
    "tracks": "track* name* surface* lap* straight finish_to_turn rail_offset width hand poles "
    "chutes latitude longitude bearing soil holds gives drains",
    "exercise": "date* horse* activity* distance time track rider note",
    "works": "work* date* horse* track* distance* time from_pole manner from_gate state effort "
    "company rider note",
    "splits": "work* pole* clock* lead",
    "measurements": "date* horse* what* value* shod method by note",
    "fitness": "date* horse* step* speed* heart_rate lactate minutes_after",
    "footfalls": "date* horse* clip* foot* on* off fps speed",
    "surface": "date* track* state* moisture moisture_method cushion upkeep rain note",
    "weather": "date* track* tmin tmax rain wind rh_min rh_max sun",
    "forecast": "issued* date* track* rain_chance rain tmin tmax wind rh_min rh_max",
    "targets": "horse* date* distance* track what note",
}


def test_tables_and_columns_are_those_of_the_contract() -> None:
    written = {
        name: " ".join(f"{c.name}{'*' if c.required else ''}" for c in table.columns)
        for name, table in daybook.SCHEMA.items()
    }
    assert written == CONTRACT
    required = [name for name, table in daybook.SCHEMA.items() if table.required_table]
    assert required == ["horses", "tracks"]


def test_states_are_words_of_the_contract() -> None:
    assert daybook.STATES == {
        "dirt": ("fast", "wet fast", "good", "muddy", "sloppy", "slow", "heavy", "frozen"),
        "turf": ("firm", "good", "yielding", "soft", "heavy"),
        "synthetic": ("fast", "good", "slow", "wet"),
    }


@pytest.mark.parametrize("name", sorted(CONTRACT))
def test_empty_frames_have_all_columns_with_their_types(name: str) -> None:
    frame = empty_frame(name)
    assert list(frame.columns) == [*daybook.SCHEMA[name].fields, "row"]
    kinds = {"text": "O", "yesno": "O", "number": "f", "date": "M"}
    for column, kind in daybook.SCHEMA[name].fields.items():
        assert frame[column].dtype.kind == kinds[kind]


def test_markdown_names_every_column_and_every_word() -> None:
    text = daybook.markdown()
    for name, columns in CONTRACT.items():
        line = next(line for line in text.splitlines() if name in line.split("|")[1])
        for column in columns.split():
            assert re.search(rf"(?<!\w){re.escape(column)}", line), (name, column)
    assert "ridgling" in text
    assert text.count("\n") == len(CONTRACT) + 2


def test_readme_carries_the_table() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    between = readme.partition("<!-- tables -->")[2].partition("<!-- /tables -->")[0]
    assert between.strip() == daybook.markdown().strip()


def test_the_length_of_a_body_says_which_length_it_is() -> None:
    meaning = daybook.SCHEMA["measurements"].column("value").meaning
    assert "`length` is from the point of the shoulder to the point of the buttock" in meaning
