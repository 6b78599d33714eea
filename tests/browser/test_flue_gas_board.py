"""The flue-gas board in a real browser: readings to words and pictures, wrong input in place, sliders, a phone."""

import pytest
from on_board import expect, expect_pictures, fill

pytestmark = pytest.mark.browser

BOARD = "classroom/flue_gas.ipynb"


def test_readings_wrong_input_before_and_after(board):
    page = board("before_o2=11%20%25&before_stack=480%20%C2%B0F")
    expect(page, "Clean: CO is")
    assert "less fuel" in page.locator(".board-reasons").first.inner_text()
    assert "Before: O2 11.0 %" in page.locator(".board-figure svg").first.get_attribute("aria-label")
    fill(page, "Carbon monoxide, CO", "600 ppm")
    expect(page, "Not clean")
    assert page.locator(".board-answer.suite-fail").count() == 1
    assert "carbon monoxide" in page.locator(".board-cautions").first.inner_text().lower()
    fill(page, "Oxygen, O2", "banana")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes('banana'))",
        timeout=30_000,
    )
    fill(page, "Oxygen, O2", "20.9 %")
    expect(page, "cannot be right")
    expect_pictures(page, 1)
    fill(page, "Oxygen, O2", "5 %")
    fill(page, "Carbon dioxide, CO2", "10.5 %")
    page.get_by_label("What was read", exact=True).select_option(label="both, each by a cell of its own")
    expect(page, "would fit propane")
    page.get_by_label("Fuel", exact=True).select_option(label="propane")
    expect(page, "CO is")


def test_every_slider_to_both_ends_and_a_phone(board):
    page = board()
    for label in ("Oxygen, O2", "Carbon monoxide, CO", "Stack temperature", "Combustion air"):
        slider = page.get_by_role("slider", name=f"{label}, slider").first
        for key in ("End", "Home"):
            slider.focus()
            slider.press(key)
            page.wait_for_timeout(150)
            assert "Something went wrong" not in page.locator("body").inner_text()
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(400)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
