"""The combustion-air and terminations boards in a real browser: a moved control, links, wrong input, a phone."""

import pytest
from on_board import expect, fill

pytestmark = pytest.mark.browser

TERMINATIONS, COMBUSTION_AIR = "classroom/terminations.ipynb", "classroom/combustion_air.ipynb"


def test_fixing_one_clearance_breaks_another(board):
    page = board(notebook=TERMINATIONS)
    expect(page, "beside the window, 48 in needed", ".board-said")
    fill(page, "New terminal, along the wall", "15 ft")
    expect(page, "beside the forced inlet, 120 in needed", ".board-said")
    fill(page, "New terminal, along the wall", "13 ft")
    expect(page, "Yes: by these rules the new terminal may stand here", ".board-said")
    assert "carbon monoxide" in page.locator(".board-cautions").first.inner_text()
    assert "Elevation of an outside wall" in page.locator(".board-figure svg").first.get_attribute(
        "aria-label"
    )


def test_a_wall_that_cannot_be_says_why_in_place(board):
    page = board(notebook=TERMINATIONS)
    fill(page, "Window, along", "0.5 ft")
    page.wait_for_function(
        "() => document.body.innerText.includes('does not lie in the wall')", timeout=30_000
    )
    fill(page, "Window, along", "7 ft")
    expect(page, "beside the window", ".board-said")


def test_the_louver_of_wood_is_three_times_as_large(board):
    page = board(notebook=COMBUSTION_AIR)
    expect(page, "two openings of 40 sq in each", ".board-said")
    expect(page, "Would it pass the worst case with that opening?", ".board-said")
    page.get_by_label("Louver", exact=True).select_option(label="wood, make unknown (25 % free)")
    expect(page, "two openings of 120 sq in each", ".board-said")
    fill(page, "Known infiltration, per hour (empty: not known)", "0.2 ACH")
    expect(page, "the standard method is not allowed", ".board-said")


def test_links_reproduce_views(board):
    page = board("route=indoor&beyond_length=15%20ft", COMBUSTION_AIR)
    expect(page, "the air must come from outdoors", ".board-said")
    page = board("scene=crowded&kind=direct%20vent&column=Canada", TERMINATIONS)
    expect(page, "41 in from the forced inlet, 72 in needed", ".board-said")
    assert "Canada" in page.locator(".board-figure svg").first.text_content()


@pytest.mark.parametrize("name", ["terminations", "combustion_air"])
def test_a_phone_scrolls_one_way_only(board, name):
    page = board(notebook=f"classroom/{name}.ipynb")
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(800)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
