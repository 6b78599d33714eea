"""The rooms board in a real browser: the door, the wall, another room, a typed reading, a link, a phone."""

import re

import pytest
from on_board import expect, fill

pytestmark = pytest.mark.browser

BOARD = "classroom/rooms.ipynb"


def choose(page, label, words):
    page.get_by_label(label, exact=True).select_option(label=words)


def test_from_the_shut_door_to_the_remedy_that_passes(board):
    page = board()
    expect(page, "No: 3 of 5 rooms are out of the band; the main bedroom stands at +19.", ".board-said")
    expect(page, "not enough. Retest: +4.4 Pa, still out of the band", ".board-said")
    assert page.locator(".board-answer.suite-fail").count() == 1
    assert "carbon monoxide" in page.locator(".board-cautions").first.inner_text()
    choose(page, "Stud bays side by side", "2")
    expect(page, "within the band", ".board-said")
    slider = page.get_by_role("slider", name=re.compile("Door opened")).first
    slider.focus()
    for _ in range(8):
        slider.press("ArrowRight")
    page.wait_for_function(
        "() => document.querySelectorAll('.board-figure svg')[2]?.getAttribute('aria-label').includes('open by 0.500 in')",
        timeout=30_000,
    )
    expect(page, "the crack of the door as it stands", ".board-said")
    words = page.locator(".board-figure svg").nth(2).get_attribute("aria-label")
    assert "latch strip 40 sq in" in words
    page.wait_for_function(
        "() => /gap=.*bays=2/.test(document.querySelector('a.board-link')?.getAttribute('href') ?? '')",
        timeout=30_000,
    )
    choose(page, "Room", "study")
    expect(page, "look for what is blocked", ".board-said")
    fill(page, "Measured pressure at its door", "-9 Pa")
    expect(page, "the study reads −9.0 Pa", ".board-said")
    choose(page, "Units", "SI: °C, L/s, W")
    expect(page, "L/s", ".board-said")


def test_a_link_wrong_input_and_a_phone(board):
    page = board("room=small%20bedroom&gap=0.25%20in&undercut=banana")
    expect(page, "the small bedroom stands at +10.", ".board-said")
    assert any("banana" in text for text in page.locator(".board-message").all_inner_texts())
    fill(page, "Door opened: gap at the latch side", "40 in")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes('outside what the board'))",
        timeout=30_000,
    )
    expect(page, "the small bedroom stands at +10.", ".board-said")
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(800)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    nameless = page.evaluate(
        """() => [...document.querySelectorAll('input, select, button, [role=slider]')].filter(e => e.offsetParent
             && !(e.getAttribute('aria-label') || e.title || e.innerText || e.labels?.length || e.placeholder)).length"""
    )
    assert nameless == 0
