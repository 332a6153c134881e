"""Any text as HTML that shows it and does nothing else.

Enters: text of any origin. Leaves: ``Markup``, the type of what may reach a page. Must not know: documents.

The templates escape whatever is not ``Markup``; fragments are joined from pieces made here. Control characters and
marks that turn the direction of writing are shown as their code: visible, and harmless.
"""

from __future__ import annotations

import json
import re
import unicodedata
from typing import Any

from markupsafe import Markup
from markupsafe import escape as escape_markup

HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})
"""Categories of characters that have no glyph."""
ALLOWED = frozenset("\u00ad\u200b\u2060")
NARROW, JOINED = "\u202f", "\u2060"


def text(value: str) -> Markup:
    """Text as HTML, white space as single spaces.

    >>> text('<b>R & "C"</b>')
    Markup('&lt;b&gt;R &amp; &#34;C&#34;&lt;/b&gt;')
    """
    cleaned = re.sub(r"[ \t\r\n\f\v\u2028\u2029\x85]+", " ", unicodedata.normalize("NFC", value))
    shown = "".join(char if _is_seen(char) else f"[U+{ord(char):04X}]" for char in cleaned)
    return escape_markup(shown)


def _is_seen(char: str) -> bool:
    return char in ALLOWED or unicodedata.category(char) not in HIDDEN


def element(tag: str, content: Markup, **attributes: str) -> Markup:
    """An element around content that is HTML already; ``class_`` is the attribute ``class``.

    >>> element("span", text("a < b"), class_="node")
    Markup('<span class="node">a &lt; b</span>')
    """
    names = {name: name.rstrip("_").replace("_", "-") for name in attributes}
    written = "".join(f' {names[name]}="{escape_markup(value)}"' for name, value in attributes.items())
    return Markup(f"<{tag}{written}>") + content + Markup(f"</{tag}>")


def joined(pieces: list[Markup]) -> Markup:
    return Markup("").join(pieces)


def as_json(value: Any) -> Markup:
    """Data for a script in the page: nothing in it can end the script.

    >>> as_json(["</script>"])
    Markup('["\\\\u003c/script>"]')
    """
    written = json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return Markup(written.replace("<", "\\u003c"))
