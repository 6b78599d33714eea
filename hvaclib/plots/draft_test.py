"""What the draft test itself fixes and more than one drawing shows: the moment of the reading, what counts as spillage."""

from hvaclib.reference import value

READ_AFTER = value("field_test", "main_burner_operation")
"""s from firing until the draft is read."""
SPILLING = value("field_test", "spillage_seen")
"""Share of the flue gas below which nothing is seen at the hood."""
