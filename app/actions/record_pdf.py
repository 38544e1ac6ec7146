"""The record of an overhaul as a PDF, with how its rings wear up to that overhaul."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from app.actions.instruments import statuses_as_signed
from app.actions.overhauls import overhaul
from app.actions.past_overhauls import past_overhauls, so_far
from app.actions.pictures import small_picture
from app.actions.ring_trends import ring_trends
from app.actions.trend_plots import plot_of
from app.actions.turns import in_turn
from app.domain.overhaul import Overhaul
from app.reports.pdf import setter
from app.reports.record_document import Document, RecordInput, record_document
from app.reports.trend_plot import TrendPlotLayout, lay_out_trend_plot
from app.store.book import Book
from app.store.photos import get_photo_file

PLOT_PX = 720.0


@dataclass(frozen=True)
class RecordFile:
    """A record ready to be sent: the name it is filed under, and the document."""

    name: str
    content: bytes


def record_pdf(book: Book, overhaul_id: int, zone: str, is_invented: bool, now: datetime) -> RecordFile:
    """Set the record of an overhaul."""
    with setter() as set_document:
        name, document = _drawn(book, overhaul_id, zone, is_invented, now)
        return RecordFile(f"{name}.pdf", set_document(document))


@in_turn
def _drawn(book: Book, overhaul_id: int, zone: str, is_invented: bool, now: datetime) -> tuple[str, Document]:
    """Gather a record and draw its plots; give the name it is filed under, and what is to be set."""
    given = record_input(book, overhaul_id, zone, is_invented)
    return given.name, record_document(given, now)


def record_input(book: Book, overhaul_id: int, zone: str, is_invented: bool) -> RecordInput:
    """Gather what a record shows; what was done or entered later has no place in it."""
    found = overhaul(book, overhaul_id)
    past = so_far(past_overhauls(book, found.machine.id), found)
    past = [each for each in past if each.overhaul.number <= found.number]
    trends = ring_trends(past, found.sheet)
    plots: list[TrendPlotLayout] = [lay_out_trend_plot(plot_of(trend, PLOT_PX)) for trend in trends]
    instruments = statuses_as_signed(book, found, ZoneInfo(zone))
    return RecordInput(found, plots, zone, is_invented, instruments, _pictures(book, found))


def _pictures(book: Book, found: Overhaul) -> dict[str, bytes]:
    """The pictures that a record shows, small, by the digest of the whole one."""
    with book.reading() as session:
        return {
            each.digest: small_picture(get_photo_file(session, each.digest)) for each in found.photos if each.stands
        }
