"""Running the command as a user does: a process of its own."""

import subprocess
import sys
from pathlib import Path
from typing import Any

COMMAND = Path(sys.executable).with_name("racecalc")

Done = subprocess.CompletedProcess[str]


def racecalc(*arguments: str | Path, **options: Any) -> Done:
    """Run ``racecalc`` in a process and return what it said; no user ever sees a traceback."""
    done = subprocess.run(
        [str(COMMAND), *map(str, arguments)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        **options,
    )
    assert "Traceback" not in done.stderr + done.stdout, done.stderr
    return done
