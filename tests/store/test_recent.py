"""What was used last is held up to a weight."""

from app.store.recent import Recent


def test_oldest_goes_first_once_all_weigh_too_much() -> None:
    recent = Recent[str, str](10, len)
    for key, value in (("first", "aaaa"), ("second", "bbbb"), ("third", "cc")):
        recent.hold(key, value)
    recent.hold("first", "aaaa")  # used again

    recent.hold("fourth", "dddd")

    assert [recent.get(key) for key in ("first", "second", "third", "fourth")] == ["aaaa", None, "cc", "dddd"]


def test_what_is_held_anew_weighs_once() -> None:
    recent = Recent[str, str](10, len)
    recent.hold("first", "a")
    for _ in range(5):
        recent.hold("second", "bbbbbbbb")

    assert recent.get("first") == "a"


def test_newest_stays_whatever_it_weighs() -> None:
    recent = Recent[str, str](1, len)

    recent.hold("first", "aaaa")
    recent.hold("second", "bbbb")

    assert (recent.get("first"), recent.get("second")) == (None, "bbbb")
