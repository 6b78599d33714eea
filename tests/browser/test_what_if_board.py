"""The what-if board in a real browser: fit, controls to both ends, wrong input, a visit from a file, a phone."""

import re

import pytest
from on_board import expect, expect_first, expect_pictures, fill

from hvaclib.house.demo import demo_dwellings

pytestmark = pytest.mark.browser

BOARD = "inspection/what_if.ipynb"
HOUSE = "house=closed_bedrooms"
ANSWERED = r"(Very likely|Likely) (yes|no)|Too close to call"
SAID = "part => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes(part))"
VISIT = """format = "hvaclib visit 1"
[job]
id = "J-9"
contractor = "an invented contractor"
date = 2025-02-11
invented = true
[[appliance]]
name = "water heater"
kind = "draft-hood water heater"
fuel = "natural gas"
zone = "basement"
input = "40 kBtu/h"
[[entry]]
item = "draft-natural"
where = "water heater"
value = "-4.5 Pa"
[[entry]]
item = "worst-case-pressure"
where = "basement"
value = "-2.6 Pa"
"""


def answered(page):
    """Wait until the house is fitted and the answer stands."""
    page.wait_for_function(
        "pattern => new RegExp('^(' + pattern + ')').test(document.querySelector('.board-answer p')?.innerText ?? '')",
        arg=ANSWERED,
        timeout=30_000,
    )
    return page.locator(".board-answer p").first.inner_text()


def test_the_hood_and_the_opening_move_answer_and_picture(board):
    page = board(HOUSE)
    first = answered(page)
    fill(page, "Combustion-air opening, free area", "150 sq in")
    expect(page, "a combustion-air opening of 150 sq in")
    relieved = answered(page)
    assert relieved != first
    words = page.locator(".board-figure svg").first.get_attribute("aria-label")
    assert "combustion-air opening" in words
    fill(page, "Largest exhaust fan, airflow", "900 cfm")
    expect(page, "the largest exhaust fan at 900 cfm")
    expect_first(page, "Very likely no")
    assert "does not replace the test" in page.locator(".board-cautions").first.inner_text()


def test_every_slider_to_both_ends(board):
    page = board(HOUSE)
    answered(page)
    for label in ("Outdoor temperature", "Largest exhaust fan, airflow", "Its inside diameter"):
        slider = page.get_by_role("slider", name=re.compile(re.escape(label))).first
        for key in ("End", "Home"):
            slider.focus()
            slider.press(key)
            page.wait_for_timeout(250)
            assert "Something went wrong" not in page.locator("body").inner_text()
            expect_pictures(page, 3)
    assert page.get_by_label("Put a new liner or vent in", exact=True).is_checked()


def test_wrong_input_is_told_beside_its_control_and_a_phone_scrolls_one_way_only(board):
    page = board(f"{HOUSE}&outdoor=banana")
    assert any("banana" in text for text in page.locator(".board-message").all_inner_texts())
    said = answered(page)
    fill(page, "Outdoor temperature", "5 Pa")
    page.wait_for_function(SAID, arg="Outdoor temperature", timeout=30_000)
    assert page.locator(".board-answer p").first.inner_text() == said
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(800)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def upload(page, number, name, content):
    with page.expect_file_chooser() as chooser:
        page.locator("button.widget-upload").nth(number).click()
    chooser.value.set_files([{"name": name, "mimeType": "text/plain", "buffer": content}])


def test_files_wrong_and_right(board):
    page = board(HOUSE)
    upload(page, 0, "letter.toml", b"Dear reader, this is no visit.")
    page.wait_for_function(SAID, arg="letter.toml", timeout=30_000)
    upload(page, 0, "visit.toml", VISIT.encode())
    expect(page, "was assumed", ".board-top")
    answered(page)
    upload(page, 1, "mine.toml", demo_dwellings()["closed_bedrooms"].read_bytes())
    page.wait_for_function(SAID, arg="Loaded", timeout=30_000)
