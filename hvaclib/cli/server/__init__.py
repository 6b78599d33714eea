"""The server of the suite: a small application around Voila, its page template and its page scripts."""
