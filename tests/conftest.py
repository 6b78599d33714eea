"""Fixtures for every test of pages: ``chromium``, ``page`` and ``suite_server``; see `serving`."""

from on_board import board
from serving import chromium, context, page, suite_server

__all__ = ["board", "chromium", "context", "page", "suite_server"]
