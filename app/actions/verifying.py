"""Whether the book is whole: its file, its form, its chain, its rows and whatever was signed."""

from dataclasses import dataclass

from app.store.book import Book
from app.store.chain import chain_head, verify_chain
from app.store.evidence import verify_evidence
from app.store.integrity import file_faults


@dataclass(frozen=True)
class Verification:
    """What a check has found: the faults in words, and where the chain ends."""

    faults: tuple[str, ...]
    head_seq: int
    head_digest: str


def verify_book(book: Book) -> Verification:
    """Check everything, and name what is not as it was written."""
    with book.reading() as session:
        faults = file_faults(session, book.revision())
        if faults:
            return Verification(tuple(faults), 0, "")
        seq, digest = chain_head(session)
        broken = verify_chain(session)
        chain = [f"The chain is broken at entry {broken}: it is missing or was changed."] if broken is not None else []
        rows = [f"Not as its entry says, missing, or added: {place}." for place in verify_evidence(session)]
    return Verification((*chain, *rows), seq, digest)
