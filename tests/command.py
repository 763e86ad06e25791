"""Running the command: as a user does, in a process of its own, or in this one."""

import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from racecalc.cli import main

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


def racecalc_here(*arguments: str | Path) -> Done:
    """Run ``racecalc`` in this process, for tests of what it says: no libraries are loaded anew."""
    words = [*map(str, arguments)]
    before = signal.getsignal(signal.SIGTERM)
    try:
        done = CliRunner().invoke(main, words)
    finally:
        signal.signal(signal.SIGTERM, before)
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    assert "Traceback" not in done.stderr + done.stdout, done.stderr
    return subprocess.CompletedProcess(words, done.exit_code, done.stdout, done.stderr)
