"""What a label's code holds, and how a misread one is told."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.shop.label_code import CHARACTERS, check_character, code_text, is_misread

labels = st.from_regex(r"[0-9A-Z](-?[0-9A-Z]){0,20}", fullmatch=True)


def test_the_check_character_of_a_published_number() -> None:
    """The IFPI's Global Release Identifier standard, version 2.1, works A1-2425G-ABC1234002-M.

    Its check is MOD 37,36 of ISO/IEC 7064, hyphens left out.
    """
    assert check_character("A1-2425G-ABC1234002") == "M"


@given(labels, st.data())
def test_every_single_wrong_character_is_found(label: str, data: st.DataObject) -> None:
    """What ISO/IEC 7064 promises of its hybrid systems."""
    place = data.draw(st.sampled_from([i for i, letter in enumerate(label) if letter != "-"]))
    wrong = data.draw(st.sampled_from([c for c in CHARACTERS if c != label[place]]))
    code = code_text(label)
    assert not is_misread(code)
    assert is_misread(code[:place] + wrong + code[place + 1 :])


@pytest.mark.parametrize(
    ("label", "held"),
    [
        ("014", "014--V"),
        ("wb-08", "WB-08--5"),
        ("Heron 3a", "Heron 3a"),
        ("Straße", "Straße"),
        ("-7", "-7"),
        ("A--B", "A--B"),
        (" two \n lines ", "two lines"),
    ],
)
def test_a_label_of_capitals_digits_and_hyphens_gets_a_check(label: str, held: str) -> None:
    assert code_text(label) == held


@given(st.text(min_size=1).filter(str.strip))
def test_no_plain_label_is_taken_for_a_misread_code(label: str) -> None:
    held = code_text(label)
    assert "\n" not in held
    if "--" not in held:
        assert not is_misread(held)


@given(labels)
def test_a_code_is_typed_by_scanners_without_shifted_letters(label: str) -> None:
    assert set(code_text(label)) <= {*CHARACTERS, "-"}
