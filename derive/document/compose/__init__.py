"""From the analysis of a circuit to the document of its worksheet."""

from derive.document.compose.worksheet import compose

__all__ = ["compose"]
