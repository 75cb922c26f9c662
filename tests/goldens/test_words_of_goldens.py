"""The change of words changed the recorded answers only as the table `words.toml` says."""

from __future__ import annotations

import pytest

from tests.goldens.record import GROUPS
from tests.goldens.words import changes, differences, table, words_of


@pytest.mark.parametrize("name", GROUPS)
def test_keys_and_words_changed_only_as_the_table_says(name: str) -> None:
    keys, known = table()
    assert not {
        one
        for one in differences(name, keys) - known
        if keys.get(one[0].removeprefix("key ")) != one[1].removeprefix("key ")
    }


def test_a_difference_is_found_in_keys_and_in_words() -> None:
    before = {"build": {"holes": 2}, "text": "The owner waits\nfor 12 psi."}
    after = {"setup": {"holes": 2}, "text": "The customer waits for\n13 psi."}
    assert set(changes(before, after, {"build": "setup"}, set())) == {("key build", "key setup"), ("owner", "customer")}
    assert list(changes({"a": 1}, {"b": 1}, {}, set())) == [("key a", ""), ("", "key b")]
    assert words_of("a  1.5 psi\n-----\n") == ["a", "#", "psi"]
