"""Paper: the job sheet, the findings letter, the punch list and the label, as HTML and PDF."""
