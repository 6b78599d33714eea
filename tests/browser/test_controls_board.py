"""The condensate-and-controls board in a real browser: a story, wrong input, a phone."""

import re

import pytest

pytestmark = pytest.mark.browser


def expect(page, text):
    page.wait_for_function(
        "text => document.querySelector('.board-answer').innerText.includes(text)", arg=text, timeout=15_000
    )


def write(page, label, text):
    box = page.get_by_label(label, exact=True).first
    box.fill(text)
    box.press("Tab")


def test_water_circuit_and_warmth(page, suite_server):
    server = suite_server()
    page.goto(server.page("classroom/controls.ipynb"))
    page.wait_for_selector(".board-figure svg", timeout=60_000)
    expect(page, "Yes: the water gets out")
    write(page, "Lift", "16 ft")
    expect(page, "The pump cannot lift 16.0 ft")
    write(page, "Lift", "6 ft")
    write(page, "Turns of the wire through the clamp", "5")
    expect(page, "Set the anticipator to 0.80 A")
    write(page, "Turns of the wire through the clamp", "10")
    expect(page, "Yes: the water gets out")
    said = page.locator(".board-answer").first.inner_text()
    write(page, "Water seal of the trap as built", "2 lb")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes('Water seal'))",
        timeout=10_000,
    )
    assert page.locator(".board-answer").first.inner_text() == said
    assert "line voltage" in page.locator(".board-cautions").first.inner_text()
    assert page.locator(".board-figure svg").nth(1).get_attribute("aria-label").startswith("Circuit of 24 V")
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(500)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert not page.errors
    assert all(f"127.0.0.1:{server.port}" in a for a in page.requested if re.match(r"(http|ws)", a))
