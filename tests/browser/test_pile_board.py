"""The pile board in a real browser: filters, order, time to both ends, files right and wrong, a phone."""

import re

import pytest
from on_board import expect, expect_first, fill, picture_height

from hvaclib.house.demo import demo_folder

pytestmark = pytest.mark.browser

BOARD = "inspection/pile.ipynb"
SAID = "part => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes(part))"


def upload(page, *files):
    with page.expect_file_chooser() as chooser:
        page.locator("button.widget-upload").first.click()
    chooser.value.set_files(
        [{"name": name, "mimeType": "text/plain", "buffer": body} for name, body in files]
    )


def choose(page, label, words):
    page.get_by_label(label, exact=True).select_option(label=words)


def alternative(page):
    return page.locator(".board-figure svg").first.get_attribute("aria-label")


def test_rule_set_filters_and_order_move_answer_and_picture(board):
    page = board()
    expect_first(page, "First: INVENTED-202")
    before = alternative(page)
    choose(page, "Rule set", "stricter")
    expect(page, "2 stop and call", ".board-reasons")
    assert alternative(page) != before
    choose(page, "Contractor", "Invented crew Cedar")
    expect_first(page, "First: INVENTED-30")
    choose(page, "Gravest remark", "stop and call")
    expect_first(page, "No sheet has what the filters ask for.")
    choose(page, "Gravest remark", "all")
    choose(page, "Contractor", "all")
    choose(page, "Who must act", "gas fitter")
    expect_first(page, "First: INVENTED-202")
    expect(page, "To do there (gas fitter)", ".board-reasons")
    choose(page, "Contractor", "Invented crew Cedar")
    choose(page, "Who must act", "all")
    choose(page, "Order", "date, oldest first")
    expect_first(page, "First: INVENTED-301")
    assert "Something went wrong" not in page.locator("body").inner_text()


def test_time_to_both_ends_and_a_cleared_field(board):
    page = board()
    heights = set()
    slider = page.get_by_role("slider", name=re.compile("Sheets there is time for")).first
    for key, words in (("End", "With time for 9 sheets"), ("Home", "With time for 1 sheet ")):
        slider.focus()
        slider.press(key)
        expect(page, words, ".board-reasons")
        heights.add(picture_height(page))
    assert len(heights) == 1
    fill(page, "Sheets there is time for", "many")
    page.wait_for_function(SAID, arg="many", timeout=30_000)
    fill(page, "Sheets there is time for", "")
    page.wait_for_function(SAID, arg="Sheets there is time for", timeout=30_000)


def test_files_wrong_huge_and_right_and_a_phone(board):
    page = board()
    upload(page, ("letter.toml", b"Dear reader, this is no sheet."))
    page.wait_for_function(SAID, arg="letter.toml", timeout=30_000)
    upload(page, ("huge.csv", b"x" * 6_000_000))
    page.locator(".suite-notice", has_text="nothing was sent").wait_for(timeout=30_000)
    expect_first(page, "First: INVENTED-202")
    folder = demo_folder() / "visits"
    names = ("invented_301.toml", "invented_303.toml")
    upload(page, *((name, (folder / name).read_bytes()) for name in names))
    page.wait_for_function(SAID, arg="Loaded invented_303.toml: 1 sheet", timeout=30_000)
    expect_first(page, "First: INVENTED-301")
    expect(page, "In the pile: 2 sheets", ".board-reasons")
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(600)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
