"""The static board in a real browser: what-if, taps of the dwelling, four typed holes, link, export, a phone."""

import pytest
from on_board import expect, fill

from hvaclib.house.demo import demo_dwellings

pytestmark = pytest.mark.browser

BOARD = "classroom/static.ipynb"


def test_what_if_taps_link_and_export(board):
    page = board("house=passes")
    expect(page, "Yes: the total external static pressure")
    fill(page, "Filter: loss, times the file's", "5")
    expect(page, "No: the total external static pressure")
    expect(page, "With filter loss 5 times", ".board-reasons")
    assert page.locator(".board-answer.suite-fail").count() == 1
    assert "power off" in page.locator(".board-cautions").first.inner_text()
    words = [svg.get_attribute("aria-label") for svg in page.locator(".board-figure svg").all()]
    assert "Before the change they crossed" in words[0]
    assert "Static pressure against the room" in words[1]
    page.get_by_label("Blower tap", exact=True).select_option(label="high")
    expect(page, "tap high", ".board-reasons")
    page.wait_for_function(
        "() => document.querySelector('a.board-link').getAttribute('href').includes('tap=high')"
    )
    page.get_by_label("Dwelling", exact=True).select_option(label="demo: blower that holds its airflow")
    expect(page, "holds its airflow", ".board-reasons")
    taps = page.get_by_label("Blower tap", exact=True).locator("option").all_inner_texts()
    assert taps == ["heating", "cooling"]
    page.get_by_role("button", name="Make files of this view").click()
    page.wait_for_selector("a.board-download", timeout=20_000)
    kinds = {a.get_attribute("download").rpartition(".")[2] for a in page.locator("a.board-download").all()}
    assert {"png", "svg", "csv", "json"} <= kinds


def test_four_holes_name_the_filter_and_a_wrong_one_is_told(board):
    page = board("house=passes")
    for label, text in (
        ("Hole 1: return, before the filter", "-0.08"),
        ("Hole 2: blower inlet, after the filter", "-0.48"),
        ("Hole 3: after the heat exchanger, before the coil", "0.18"),
        ("Hole 4: after the coil", "0.08"),
    ):
        fill(page, label, text)
    expect(page, "Out of line: the filter", ".board-reasons")
    expect(page, "(from two readings)")
    fill(page, "Hole 2: blower inlet, after the filter", "0.4")
    expect(page, "hoses or signs may be exchanged")
    fill(page, "Hole 2: blower inlet, after the filter", "banana")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes('Hole 2'))"
    )
    fill(page, "Hole 2: blower inlet, after the filter", "")
    expect(page, "all four holes", ".board-reasons")
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(500)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_a_dwelling_without_ducts_is_told(board):
    page = board()
    text = demo_dwellings()["passes"].read_text(encoding="utf-8")
    start = text.index("[[air_handler.component]]")
    end = text.index("[[vent]]", start)
    with page.expect_file_chooser() as chooser:
        page.locator("button.widget-upload").first.click()
    content = (text[:start] + text[end:]).encode()
    chooser.value.set_files([{"name": "bare.toml", "mimeType": "text/plain", "buffer": content}])
    expect(page, "does not describe")
