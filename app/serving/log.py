"""The server's log: each line with its moment in UTC, and no line begun by what somebody sent."""

import logging
import re
import time

CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")


class OneLine(logging.Formatter):
    """Writes moment, weight, logger and message on one line; only the traceback of a fault goes on below."""

    converter = staticmethod(time.gmtime)
    default_time_format = "%Y-%m-%dT%H:%M:%S"
    default_msec_format = "%s.%03dZ"

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)s %(name)s: %(message)s")

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 - the name that the library calls
        r"""Write a message; a sign that would begin a line of its own is written as its number.

        >>> record = logging.makeLogRecord({"msg": "opened a\n1 ERROR b", "created": 0, "msecs": 0})
        >>> OneLine().format(record)
        '1970-01-01T00:00:00.000Z Level None None: opened a\\x0a1 ERROR b'
        """
        return CONTROL.sub(lambda sign: f"\\x{ord(sign[0]):02x}", super().formatMessage(record))


def write_log() -> None:
    """Write what is logged to the standard error so, from warnings on."""
    handler = logging.StreamHandler()
    handler.setFormatter(OneLine())
    logging.basicConfig(level=logging.WARNING, handlers=[handler])
