"""Sections of questions that are no ratio in the network: noise, distortion.

Enters: studies. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.distortion.records import DistortionStudy
from derive.document.compose import distortion, noise
from derive.document.records import Block, Row
from derive.noise.records import NoiseStudy


def blocks(study: NoiseStudy | DistortionStudy) -> list[Block]:
    return noise.blocks(study) if isinstance(study, NoiseStudy) else distortion.blocks(study)


def glance(study: NoiseStudy | DistortionStudy) -> Row:
    """The row among the answers at a glance."""
    return noise.glance(study) if isinstance(study, NoiseStudy) else distortion.glance(study)
