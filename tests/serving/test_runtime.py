"""How Python is set while it serves, tried in a process of its own, since it holds for a whole process."""

import subprocess
import sys

from tests.house.source import ROOT

TRIED = """
import gc, sys
gc.disable()
from app.serving.runtime import settle
settle()
print(gc.isenabled(), gc.get_freeze_count() > 1000, sys.getswitchinterval() < 0.005)
"""


def test_what_was_put_together_is_never_looked_through_again_and_all_that_comes_after_is() -> None:
    done = subprocess.run([sys.executable, "-c", TRIED], cwd=ROOT, capture_output=True, text=True, check=True)

    assert done.stdout.split() == ["True", "True", "True"]
