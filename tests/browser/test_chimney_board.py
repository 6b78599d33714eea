"""The chimney board in a real browser: the furnace goes, a liner comes; a phone."""

import re

import pytest

pytestmark = pytest.mark.browser


def test_the_furnace_goes_and_a_liner_comes(page, suite_server):
    server = suite_server()
    page.goto(server.page("classroom/chimney.ipynb", "furnace=on&flue_area=45%20sq%20in"))
    page.wait_for_selector(".board-figure svg", timeout=60_000)

    def expect(beginning):
        page.wait_for_function(
            "text => document.querySelector('.board-answer p')?.innerText.startsWith(text)",
            arg=beginning,
            timeout=30_000,
        )

    expect("Not decided here")
    page.get_by_label("Furnace", exact=True).select_option(label="taken off")
    expect("Only by the rules of size")
    page.wait_for_function(
        "document.body.innerText.includes('Liner for the water heater alone: 3 in')", timeout=30_000
    )
    page.get_by_label("Kind", exact=True).select_option(label="masonry with a metal liner")
    box = page.get_by_label("Liner or vent, diameter", exact=True).first
    box.fill("3 in")
    box.press("Tab")
    expect("Yes: area, lift and connector")
    page.wait_for_function("document.querySelectorAll('.board-figure svg').length >= 2", timeout=30_000)
    words = page.locator(".board-figure svg").first.get_attribute("aria-label")
    assert "furnace taken off" in words
    assert "carbon monoxide" in page.locator(".board-cautions").first.inner_text()
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(500)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert not page.errors
    assert all(f"127.0.0.1:{server.port}" in to for to in page.requested if re.match(r"(http|ws)", to))
