"""The firing board in a real browser: a story, wrong input, a phone."""

import pytest
from on_board import expect_first, fill

pytestmark = pytest.mark.browser

BOARD = "classroom/firing.ipynb"


def test_the_watch_decides_what_may_be_set(board):
    page = board()
    expect_first(page, "No: overfired by 8.9 %")
    fill(page, "Time for all turns", "90 s")
    expect_first(page, "No: overfired by 4.0 %")
    assert "Permitted: set the manifold" in page.locator("body").inner_text()
    fill(page, "Time for all turns", "94")
    expect_first(page, "Yes: the burner takes")
    assert "leave at once" in page.locator(".board-cautions").first.inner_text()
    fill(page, "Altitude", "5000 ft")
    expect_first(page, "No: overfired")
    assert "Two readings of the 4 % rule" in page.locator("body").inner_text()
    page.get_by_label("Altitude rule", exact=True).select_option(label="10 %: Canadian plates")
    expect_first(page, "The rule of Canadian plates has no figure at 5,000 ft")
    words = page.locator(".board-figure svg").first.get_attribute("aria-label")
    assert words.startswith("Test dial of 2 ft³")


def test_wrong_input_and_a_phone(board):
    page = board("time=94%20s")
    said = page.locator(".board-answer p").first.inner_text()
    fill(page, "Heating value", "1000 Btu/lb")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes('Heating value'))",
        timeout=30_000,
    )
    assert page.locator(".board-answer p").first.inner_text() == said
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(500)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
