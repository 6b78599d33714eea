"""Fixtures for every test of pages: ``chromium``, ``page`` and ``suite_server``; see `serving`."""

from serving import chromium, page, suite_server

__all__ = ["chromium", "page", "suite_server"]
