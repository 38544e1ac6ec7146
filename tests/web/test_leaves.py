"""Tests of what a gauging page offers to tap: the leaves of the feeler set, and drawings of what can be seen."""

import re

from app.domain.findings import BY_KIND, PLATE_VALVE, REED_VALVE
from app.store.book import Book
from app.web.page import environment
from tests.web.visitor import words_of
from tests.web.workshop import Workshop

GAP = "2.ring-1/closed-gap"


def test_every_fault_that_can_be_seen_has_a_drawing_of_its_own() -> None:
    macro = environment().get_template("drawing/_finding.html").module.finding_mark  # type: ignore[attr-defined]
    kinds = {kind.value: findings for kind, findings in BY_KIND.items()} | {"plate": PLATE_VALVE, "reed": REED_VALVE}

    drawn = {(kind, one.code): str(macro(kind, one.code)) for kind, findings in kinds.items() for one in findings[1:]}

    faults = [drawing for (_, code), drawing in drawn.items() if code != "doubtful"]
    assert len(set(faults)) == len(faults) > 20


def test_leaves_nearest_the_limits_are_at_hand_in_the_order_of_the_set(book: Book) -> None:
    shop = Workshop(book).safe()

    page = shop.fitter.get(shop.url(f"/gauge/{GAP}?how=pair")).text

    leaves = re.findall(r'data-leaf="([0-9.]+)"', page)
    thickest_left_out = [leaf.typed for leaf in shop.overhaul.sheet.leaves][-3:]
    assert leaves == [leaf.typed for leaf in shop.overhaul.sheet.leaves][:-3]
    assert thickest_left_out == ["0.90", "0.95", "1.00"]


def test_kept_finding_stands_in_words(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, "2.delivery-valve/seen", findings="plate-cracked")

    page = shop.fitter.get(shop.url("/gauge/2.delivery-valve/seen")).text

    assert "Kept: plate cracked or broken" in words_of(page)


def test_reader_is_not_told_of_a_new_entry(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, "2.delivery-valve/seen", findings="plate-cracked")

    fitters, auditors = (
        words_of(who.get(shop.url("/gauge/2.delivery-valve/seen")).text) for who in (shop.fitter, shop.auditor)
    )

    assert "A new entry strikes it through" in fitters
    assert "A new entry strikes it through" not in auditors
    assert "Kept: plate cracked or broken" in auditors
