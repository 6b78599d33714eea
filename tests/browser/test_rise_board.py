"""The rise board in a real browser: controls to picture and words, wrong input in place, link, export, a phone."""

import pytest
from on_board import expect, expect_pictures, fill

pytestmark = pytest.mark.browser

BOARD = "classroom/rise.ipynb"


def test_controls_wrong_input_link_and_export(board):
    page = board("house=passes")
    expect(page, "Yes: a rise of")
    fill(page, "Airflow", "420 cfm")
    expect(page, "too high")
    assert "carbon monoxide" in page.locator(".board-cautions").first.inner_text()
    assert "Check in this order" in page.locator(".board-reasons").first.inner_text()
    assert "outside the nameplate band" in page.locator(".board-figure svg").first.get_attribute("aria-label")
    for typed, part in (
        ("banana", "banana"),
        ("70 °F", "Airflow"),
        ("99999 cfm", "outside what the board covers"),
    ):
        fill(page, "Airflow", typed)
        page.wait_for_function(
            "part => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes(part))",
            arg=part, timeout=30_000,
        )  # fmt: skip
    fill(page, "Airflow", "0 cfm")
    expect(page, "without airflow")
    expect_pictures(page, 1)
    fill(page, "Airflow", "900 cfm")
    expect(page, "Yes: a rise of")
    page.get_by_label("What is known", exact=True).select_option(
        label="two thermometers: what airflow follows?"
    )
    fill(page, "Supply air", "60 °F")
    expect(page, "may be exchanged")
    fill(page, "Supply air", "125 °F")
    expect(page, "a rise of")
    page.wait_for_function(
        "() => document.querySelector('a.board-link').getAttribute('href').includes('known=thermometers')"
    )
    page.get_by_role("button", name="Make files of this view").click()
    page.wait_for_selector("a.board-download", timeout=20_000)
    kinds = {a.get_attribute("download").rpartition(".")[2] for a in page.locator("a.board-download").all()}
    assert {"png", "svg", "csv", "json"} <= kinds


def test_every_slider_to_both_ends_and_a_phone(board):
    page = board("house=passes")
    for label in ("Input", "Efficiency", "Altitude", "Return air"):
        slider = page.get_by_role("slider", name=f"{label}, slider").first
        for key in ("End", "Home"):
            slider.focus()
            slider.press(key)
            page.wait_for_timeout(200)
            assert "Something went wrong" not in page.locator("body").inner_text()
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(500)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
