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


THREADS = """
import ctypes, os, sys, tempfile, threading
from app.serving.runtime import settle
settle()
begun = threading.Barrier(9)
def work():
    kept = [b"x" * size for size in range(1000, 20_000, 100)]
    begun.wait()
    return kept
threads = [threading.Thread(target=work) for _ in range(8)]
for thread in threads:
    thread.start()
libc = ctypes.CDLL(None)
libc.fopen.restype = ctypes.c_void_p
path = tempfile.mktemp()
file = ctypes.c_void_p(libc.fopen(path.encode(), b"w"))
libc.malloc_info(0, file)
libc.fclose(file)
begun.wait()
print(open(path).read().count("<heap"))
os.unlink(path)
"""


def test_threads_share_two_places_to_take_memory_from() -> None:
    done = subprocess.run([sys.executable, "-c", THREADS], cwd=ROOT, capture_output=True, text=True, check=True)

    assert int(done.stdout) == 2
