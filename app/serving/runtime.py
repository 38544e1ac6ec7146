"""How Python is set while it serves, so that whoever keeps a reading does not wait for what stays or is being drawn."""

import ctypes
import gc
import sys
from contextlib import suppress

SLICE_S = 0.0001  # A page being drawn lets others go on after so long; fifty times longer is usual.
LONGEST_END_S = 20  # Whoever waits for a turn to write is answered within that; a stalled download is given up.
ARENAS, M_ARENA_MAX = 2, -8  # The second is what glibc calls it.


def settle() -> None:
    """Take what was put together as here to stay: no search for what is gone looks through it again.

    Threads take their memory from two places and not from one each, since each place keeps the most it ever needed.
    """
    if sys.platform == "linux":
        with suppress(AttributeError, OSError):  # Another C library does without.
            ctypes.CDLL(None).mallopt(M_ARENA_MAX, ARENAS)
    gc.freeze()
    gc.enable()
    sys.setswitchinterval(SLICE_S)
