"""What the tests of the night share."""

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

_MEMORY = Path("/dev/shm")


@pytest.fixture(scope="module")
def quick_folder() -> Iterator[Path]:
    """A folder in memory where there is one: thousands of flushes onto a disk take minutes."""
    with tempfile.TemporaryDirectory(dir=_MEMORY if _MEMORY.is_dir() else None) as folder:
        yield Path(folder)
