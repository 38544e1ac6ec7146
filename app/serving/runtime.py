"""How Python is set while it serves, so that whoever keeps a reading does not wait for what stays or is being drawn."""

import gc
import sys

SLICE_S = 0.0005  # A page being drawn lets others go on after so long; ten times longer is usual.

LONGEST_END_S = (
    20  # Whoever still waits for a turn to write is answered within that; a stalled download is not waited for.
)


def settle() -> None:
    """Take what was put together as here to stay: no search for what is gone looks through it again."""
    gc.freeze()
    gc.enable()
    sys.setswitchinterval(SLICE_S)
