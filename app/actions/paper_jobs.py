"""A file from old paper on its way into the book: looked through, then brought in, beside the pages and stoppable."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from enum import StrEnum
from secrets import token_urlsafe
from threading import Event, Lock, Thread

from app.actions.old_paper import Checked, Setting, check_paper
from app.actions.old_paper_kept import keep_from_paper, setting_of
from app.actions.people import confirm_password
from app.actions.reading_file import ReadingText, decoded
from app.actions.workbook_file import is_workbook, text_of_workbook
from app.domain.errors import InputRefused, NotThere, NotYet, WearbookError
from app.domain.people import Person, Right
from app.store.book import Book

MOST_JOBS = 6
LONGEST_WAIT_S = 30


class State(StrEnum):
    """Where a file stands; the words are those of its page."""

    CHECKING = "being looked through"
    CHECKED = "looked through"
    TAKING = "coming in"
    DONE = "come in"
    STOPPED = "stopped"
    REFUSED = "refused"


class Stopped(WearbookError):
    """Somebody stopped it."""


@dataclass
class PaperJob:
    """One file with how far it is."""

    id: str
    by: Person
    source: str
    setting: Setting
    state: State = State.CHECKING
    done: int = 0
    whole: int = 0
    words: str = ""
    checked: Checked = field(default_factory=Checked)
    taken: int = 0
    known: int = 0
    stop: Event = field(default_factory=Event)
    thread: Thread | None = None

    @property
    def is_running(self) -> bool:
        """Whether it is at work."""
        return self.state in (State.CHECKING, State.TAKING)

    def tell(self, done: int, whole: int) -> None:
        """Say how far it is; stops here where somebody asked for it."""
        self.done, self.whole = done, whole
        if self.stop.is_set():
            raise Stopped("It was stopped.")


class PaperJobs:
    """The files of one open book, the latest few; one at a time is at work."""

    def __init__(self, book: Book, *, is_alone: bool = True) -> None:
        """Without being alone none begins: the next page may be asked of a process that does not have the file."""
        self.book = book
        self._is_alone = is_alone
        self._jobs: dict[str, PaperJob] = {}
        self._one = Lock()

    def check(
        self, by: Person, tag: str, revision: tuple[str, str], name: str, content: bytes, zone: tzinfo
    ) -> PaperJob:
        """Begin to look a file through."""
        by.must(Right.ENTER_PAPER)
        if not self._is_alone:
            raise NotYet(
                "This server runs as several processes. Bring paper in by one that runs as one; ask who keeps it."
            )
        if not content:
            raise InputRefused({"file": "Choose a file: the template, filled in."})
        with self.book.reading() as session:
            setting = setting_of(session, tag, *revision)
        job = PaperJob(token_urlsafe(9), by, name[:60] or "a file", setting)
        self._begin(job, lambda: self._look_through(job, content, zone))
        return job

    def take(self, by: Person, tag: str, job_id: str, password: str, is_left_out: bool, now: datetime) -> None:
        """Begin to bring in what was looked through, signed with the password; only once."""
        by.must(Right.ENTER_PAPER)
        job = self.find(tag, job_id)
        if job.checked.refused_count and not is_left_out:
            raise InputRefused({"leave_out": "Tick this, or put the lines right and send the file again."})
        confirm_password(self.book, by, password, now)
        if job.state is not State.CHECKED:
            return
        job.by, job.state = by, State.TAKING
        self._begin(job, lambda: self._bring_in(job))

    def stop(self, by: Person, tag: str, job_id: str) -> None:
        """Stop a file; what came in whole stays, and of what is at hand nothing does."""
        by.must(Right.ENTER_PAPER)
        job = self.find(tag, job_id)
        job.stop.set()
        if job.state is State.CHECKED:
            job.state = State.STOPPED

    def find(self, tag: str, job_id: str) -> PaperJob:
        """Find a file of a machine."""
        job = self._jobs.get(job_id)
        if job is None or job.setting.machine.tag != tag:
            raise NotThere("This file is not at hand any more. Send it again: what came in already is known.")
        return job

    def close(self) -> None:
        """Stop all, and wait until nothing is at work."""
        for job in list(self._jobs.values()):
            job.stop.set()
            if job.thread:
                job.thread.join(LONGEST_WAIT_S)

    def _begin(self, job: PaperJob, work: Callable[[], None]) -> None:
        """Let a file be worked on beside the pages, unless another is."""
        with self._one:
            busy = next((each for each in self._jobs.values() if each.is_running and each is not job), None)
            if busy:
                job.state = State.CHECKED if job.state is State.TAKING else job.state
                tag = busy.setting.machine.tag
                raise NotYet(f"{busy.by.name} is bringing in paper of {tag} now. Wait for it, or stop it there.")
            self._jobs[job.id] = job
            for old in [each for each in self._jobs if each != job.id][: -MOST_JOBS + 1]:
                del self._jobs[old]
            job.thread = Thread(target=self._guarded, args=(job, work), name=f"paper {job.id}", daemon=True)
            job.thread.start()

    def _guarded(self, job: PaperJob, work: Callable[[], None]) -> None:
        """Work on a file; whatever speaks against it is said on its page."""
        try:
            work()
        except Stopped:
            job.state = State.STOPPED
        except WearbookError as refusal:
            job.state, job.words = State.REFUSED, str(refusal)
        except BaseException:
            job.state, job.words = State.REFUSED, "Something went wrong. What is not listed as come in did not."
            raise

    def _look_through(self, job: PaperJob, content: bytes, zone: tzinfo) -> None:
        """Look a file through."""
        text = text_of_workbook(content) if is_workbook(content) else decoded(content)
        now = datetime.now(zone)
        job.checked = check_paper(ReadingText(text), job.setting, now, job.tell)
        job.state, job.words = State.CHECKED, ""

    def _bring_in(self, job: PaperJob) -> None:
        """Bring the overhauls in, one after the other, the oldest first."""
        for number, ready in enumerate(job.checked.ready):
            job.tell(number, len(job.checked.ready))
            is_new = keep_from_paper(self.book, job.by, job.setting, ready, job.source, datetime.now(UTC))
            job.taken, job.known = job.taken + is_new, job.known + (not is_new)
        job.done, job.state = job.whole, State.DONE
