from tendline.core.words import FoundAs, Happened, LeftAs
from tendline.report.codes import FOUND, HAPPENED, LEFT, legend


def test_every_word_of_the_record_has_a_code() -> None:
    assert set(FOUND) == set(FoundAs)
    assert set(HAPPENED) == set(Happened)
    assert set(LEFT) == set(LeftAs)


def test_no_code_means_two_things() -> None:
    codes = [*FOUND.values(), *HAPPENED.values()]
    assert len(set(codes)) == len(codes)
    assert len(set(LEFT.values())) == len(LEFT)


def test_capitals_say_how_it_was_found_and_small_letters_what_had_happened() -> None:
    assert all(code.isupper() and len(code) <= 2 for code in FOUND.values())
    assert all(len(code) == 2 and (code.islower() or code == "--") for code in HAPPENED.values())


def test_the_legend_explains_them_in_words_without_dashes() -> None:
    pairs = legend()
    assert len(pairs) == len(FoundAs) + len(Happened)
    assert ("K", "knocked down") in pairs
    assert ("uo", "under or over") in pairs
