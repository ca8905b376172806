"""The feeds of a day in their order."""

from dietcheck.collection.slots import slot_order
from tests import records


def test_an_extra_feed_lies_where_its_name_tells() -> None:
    collection = records.linked({"dietcheck.yaml": records.settings()})
    assert collection.settings.slots == ("morning", "noon", "afternoon")


def test_one_that_could_lie_anywhere_comes_last() -> None:
    text = records.settings().replace("[noon]", "[training, dawn]")
    collection = records.linked({"dietcheck.yaml": text})
    assert collection.settings.slots == ("dawn", "morning", "afternoon", "training")


def test_feeds_without_an_hour_keep_the_order_of_the_settings() -> None:
    assert slot_order(["second bucket", "first bucket"], ["noon"]) == {
        "second bucket": (0, 0),
        "first bucket": (1, 0),
    }
    assert set(slot_order(["morning", "afternoon"], ["noon", "some time"])) == {
        "morning", "afternoon", "noon",
    }  # fmt: skip
