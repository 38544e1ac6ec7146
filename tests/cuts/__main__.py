"""The long run: `python -m tests.cuts --cuts 200`."""

import argparse
import random
import sys
import tempfile
from pathlib import Path

from tests.cuts.trial import Trial


def main() -> int:
    """Run the trial and say what it found."""
    parser = argparse.ArgumentParser(prog="python -m tests.cuts", description="Cut the network, look for lost entries.")
    parser.add_argument("--cuts", type=int, default=200, help="how often the network is cut")
    parser.add_argument(
        "--seed", type=int, default=random.SystemRandom().randrange(10**6), help="repeats a run's choices"
    )
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        outcome = Trial(Path(folder), asked.seed).run(asked.cuts)
    print(*outcome.faults, sep="\n")
    print(*(f"{count} times {name}" for name, count in sorted(outcome.cuts.items())), sep=", ")
    print(
        f"seed {asked.seed}: {asked.cuts} cuts in {outcome.seconds:.0f} s, {len(outcome.entered)} entries made, "
        f"{len(outcome.stored)} stored, {len(outcome.faults)} faults"
    )
    return 1 if outcome.faults else 0


if __name__ == "__main__":
    sys.exit(main())
