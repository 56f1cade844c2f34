"""Errors of the engine that a command reports. This module loads nothing, because every command imports it."""

from __future__ import annotations


class ChangedFileError(Exception):
    """A file has other bytes than when its digest was computed."""


class ClusterError(Exception):
    """The scheduler or its workers cannot do the work; the message says why, and what to do."""
