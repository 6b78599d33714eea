"""The condensate-and-controls board in a real browser: water, circuit, wrong input in place, a phone."""

import pytest
from on_board import expect, fill

pytestmark = pytest.mark.browser

BOARD = "classroom/controls.ipynb"
TURNS = "Turns of the wire through the clamp"


def test_water_circuit_wrong_input_and_a_phone(board):
    page = board()
    expect(page, "Yes: the water gets out")
    fill(page, "Lift", "16 ft")
    expect(page, "No: the water does not get out safely")
    expect(page, "The pump cannot lift 16.0 ft", ".board-reasons")
    fill(page, "Lift", "6 ft")
    fill(page, TURNS, "5")
    expect(page, "No: the water gets out; the control circuit needs work")
    expect(page, "Set the anticipator to 0.80 A", ".board-reasons")
    fill(page, TURNS, "10")
    expect(page, "Yes: the water gets out")
    fill(page, "Water seal of the trap as built", "2 lb")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes('Water seal'))",
        timeout=30_000,
    )
    expect(page, "Yes: the water gets out")
    assert "line voltage" in page.locator(".board-cautions").first.inner_text()
    words = [page.locator(".board-figure svg").nth(i).get_attribute("aria-label") for i in range(3)]
    assert words[0].startswith("Trap at the furnace")
    assert words[1].startswith("Circuit of 24 V")
    assert words[2].startswith("Indoor temperature")
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(400)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
