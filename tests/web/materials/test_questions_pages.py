"""The questions a class asks, on the page: found by a word, trade beside print, open to every role."""

from html import unescape


def text(answer):
    return " ".join(unescape(answer.content.decode()).split())


def test_all_are_there_with_trade_and_print_side_by_side(ines):
    page = text(ines.get("/questions/"))
    assert page.count('class="question"') == 21
    for words in (
        "Why the forehead and not the temple?", "Does a hand tell fever?", "common practice, no source",
        "They disagree in part", "54.6 of 100", "Side by side", "check the paper before quoting one",
    ):  # fmt: skip
        assert words in page, words


def test_a_word_finds_its_question(ines):
    page = text(ines.get("/questions/?words=battery"))
    assert "1 of 21 hold “battery”." in page and "Is it the battery?" in page and "temple" not in page


def test_typing_brings_the_list_alone(ines):
    answer = ines.get("/questions/?words=neck", headers={"hx-request": "true"})
    assert "<html" not in text(answer) and "Why the neck" in text(answer)


def test_what_is_found_nowhere_is_said(ines):
    assert "0 of 21 hold “zebra”. Try fewer or other words" in text(ines.get("/questions/?words=zebra"))


def test_what_is_looked_for_is_shown_as_typed_and_never_run(ines):
    page = ines.get("/questions/?words=<script>alert(1)</script>").content.decode()
    assert "<script>alert" not in page and "&lt;script&gt;" in page


def test_temperatures_follow_the_unit_of_the_book(ines):
    from browline.services.book.change_preference import set_choice

    set_choice("show_unit", "F", "educator")
    # 36.8 °C is 98.24 °F: definition of the scales.
    assert "98.2 °F (36.8 °C)" in text(ines.get("/questions/"))


def test_the_educator_is_shown_the_way_to_change_it_and_to_print_it(ines):
    page = text(ines.get("/questions/"))
    assert 'href="/documents/class-questions/"' in page and 'href="/hand-outs/questions.pdf"' in page
