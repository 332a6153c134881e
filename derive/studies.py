"""All studies of noise and distortion that a description asks for.

Enters: what is prepared of a circuit. Leaves: studies, in order. Must not know: pages.
"""

from __future__ import annotations

from collections.abc import Callable

from derive.circuit.records import Noise, Study
from derive.derivation.analyse import Prepared
from derive.distortion.records import DistortionStudy
from derive.distortion.study import study_distortion
from derive.errors import TooLarge
from derive.noise.records import NoiseStudy
from derive.noise.study import study_noise


def study_all(
    prepared: Prepared, told: Callable[[str], None] = lambda _: None
) -> tuple[NoiseStudy | DistortionStudy, ...]:
    """Every study; ``told`` is called with what is being worked on. Raises DescriptionError, Defect."""
    found: list[NoiseStudy | DistortionStudy] = []
    for study in prepared.circuit.studies:
        told(study.name)
        try:
            found.append(_one(prepared, study))
        except TooLarge as error:
            raise prepared.circuit.source.error(study.path, f"{study.name}: {error}", "") from None
    return tuple(found)


def _one(prepared: Prepared, study: Study) -> NoiseStudy | DistortionStudy:
    return study_noise(prepared, study) if isinstance(study.ask, Noise) else study_distortion(prepared, study)
