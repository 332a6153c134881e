"""Documents as HTML pages.

Enters: ``derive.document.records.Document``. Leaves: one file that needs no network.
Must not know: circuits.
"""
