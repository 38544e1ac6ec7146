"""Whether Debian's Chromium is here, and what is said when it is not."""

import os
import shutil

CHROMIUM = shutil.which("chromium")
MISSING = "Debian's chromium is missing, so no page is tried in a browser: apt-get install chromium"
IS_CI = os.environ.get("CI", "").lower() in ("1", "true")
