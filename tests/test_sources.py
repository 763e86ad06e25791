"""Every source is cited, tested, and says how it was read; no number stands on memory alone."""

import ast
from functools import cache
from pathlib import Path

import pytest

from racecalc.sources import SOURCES, cite
from tests.conftest import ROOT

KINDS = ("READ", "READ2", "LIB", "PRACTICE", "MEMORY")


@cache
def keys_in_tests() -> dict[str, set[str]]:
    """Source keys by the test files whose `published` marks name them."""
    found: dict[str, set[str]] = {}
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "attr", "") == "published"
                and node.args
                and isinstance(node.args[0], ast.Constant)
            ):
                place = path.relative_to(ROOT).as_posix()
                found.setdefault(str(node.args[0].value), set()).add(place)
    return found


@cache
def package_text() -> str:
    """The code of the package apart from the records themselves."""
    rooms = Path(ROOT / "racecalc").rglob("*.py")
    paths = (path for path in rooms if path.parent.name != "sources")
    return "\n".join(path.read_text("utf-8") for path in paths)


@pytest.mark.parametrize("key", SOURCES)
def test_a_source_that_code_cites_is_tested_where_its_record_says(key):
    assert set(SOURCES[key].tested_in) == keys_in_tests().get(key, set())
    assert SOURCES[key].tested_in, f"{key} is tested nowhere"


@pytest.mark.parametrize("key", SOURCES)
def test_a_record_is_cited_by_code(key):
    assert key in package_text()


def test_a_test_names_known_sources_only():
    assert set(keys_in_tests()) <= set(SOURCES)


@pytest.mark.parametrize("key", SOURCES)
def test_a_record_is_whole(key):
    source = SOURCES[key]
    assert source.key == key
    assert source.read in KINDS
    assert source.used_for
    assert source.authors in cite(key)
    assert source.title in cite(key)


def test_no_number_rests_on_memory_alone():
    """A report prints only what was read, computed with a library, or is common practice.

    Where the names of gaits part is remembered: a word is printed of it, and no number.
    """
    assert [key for key, source in SOURCES.items() if source.read == "MEMORY"] == [
        "hildebrand_regions"
    ]
