from rich.console import Group

from reports.style import (
    as_text,
    columns,
    folded,
    heading,
    loud,
    marked,
    pairs,
    plain,
    side_by_side,
)


def test_signs_stand_for_colours() -> None:
    assert as_text(Group(loud("late"), marked("late", True), marked("fine", False))) == (
        "! late\n! late\nfine\n"
    )


def test_brackets_are_words_and_no_markup() -> None:
    assert as_text(plain("SV-X [old]")) == "SV-X [old]\n"


def test_a_table_has_one_rule_of_plain_characters() -> None:
    table = columns("Item", "Much", right="lr")
    table.add_row("wax", "12 kg")
    table.add_row("a [b]", "9 kg")
    assert as_text(table).splitlines() == [
        "Item    Much",
        "-------------",
        "wax    12 kg",
        "a [b]   9 kg",
    ]


def test_the_same_content_gives_the_same_bytes_and_no_escape_codes() -> None:
    page = Group(heading("Week 36"), loud("short"))
    assert as_text(page) == as_text(page)
    assert "\x1b" not in as_text(page)


def test_long_words_in_a_left_column_are_folded_and_nothing_is_lost() -> None:
    table = columns("Item", "Day", right="ln")
    table.add_row("x" * 100, "Mon 31 Aug")
    text = as_text(table)
    assert text.count("x") == 100
    assert "Mon 31 Aug" in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_what_is_not_broken_and_does_not_fit_shows_that_it_does_not() -> None:
    table = columns("Day", right="n")
    table.add_row("x" * 100)
    assert "…" in as_text(table)


def test_the_words_of_pairs_wrap_beside_their_name() -> None:
    table = pairs()
    table.add_row("Met", "word " * 20)
    lines = as_text(table).splitlines()
    assert lines[0].startswith("Met  word")
    assert lines[1].startswith("     word")


def test_heads_are_folded_at_their_spaces() -> None:
    assert folded("conditioner mould") == "conditioner\nmould"
    assert folded("pot (vessel)") == "pot (vessel)"
    assert folded("pot (vessel)", 7) == "pot\n(vessel)"


def test_a_long_word_widens_its_column_up_to_a_limit() -> None:
    assert folded("rosemary conditioner", 7) == "rosemary\nconditioner"
    assert folded("rosemary conditioner", 7, most=9) == "rosemary\ncondition\ner"


def test_columns_go_into_as_many_tables_as_they_need() -> None:
    # 80 - 10 leaves room for five columns of 12 and a gap of 2.
    assert side_by_side(["x" * 12] * 11, first=10, least=5) == [
        range(0, 5),
        range(5, 10),
        range(10, 11),
    ]
    assert side_by_side(["a\n" + "x" * 90], first=10, least=5) == [range(0, 1)]
    assert side_by_side([], first=10, least=5) == []
