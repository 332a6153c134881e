"""What ``derive explain`` tells besides motions, duties, stages and ports: loops, connections, feedback, bootstraps.

Enters: a prepared circuit. Leaves: chapters of sentences. Must not know: LaTeX, terminals.
"""

from __future__ import annotations

from collections.abc import Iterator

from derive.approximate.ground import Ground
from derive.derivation.analyse import Prepared
from derive.document.compose.bootstraps import TOLD, bootstrap_words
from derive.document.compose.connections import added, cut_sentences
from derive.document.compose.constants import corner_words
from derive.document.compose.loop_words import pin, poles_words, senses, source
from derive.document.compose.loops import loop_notices
from derive.document.compose.theory import gain_words, impedance_words
from derive.document.records import Notice
from derive.explain.asymptotic import Asymptotic
from derive.explain.blackman import Blackman
from derive.explain.connection import MATTERS
from derive.explain.effects import Effects
from derive.explain.loop_survey import Survey
from derive.explain.loops import Loop
from derive.explain.theory import Theory, theories
from derive.explain.wording import factor, listed
from derive.explain.words import Chapter
from derive.expression.tree import Name
from derive.words import Formula, Node, Reading, Words

LOOPS, CONNECTIONS = 4, 6
"""How many of each are told; the worksheet has more."""


def alarms(found: Survey) -> list[Words]:
    """What has to be said before anything else: poles of the network in the right half plane or on the axis."""
    notices = loop_notices(found)
    return [notice.words for notice in notices if isinstance(notice, Notice)]


def tale(prepared: Prepared, found: Survey) -> Iterator[Chapter]:
    """The chapters. Raises DescriptionError, Defect."""
    ground = prepared.ground
    sentences = loop_sentences(found, ground)
    if sentences:
        yield Chapter("Loops", tuple(sentences))
    told = connection_sentences(found, ground)
    if told:
        yield Chapter("Connections", tuple(told))
    for theory in theories(prepared, thorough=False):
        roads = theory_sentences(theory, float(ground.spot))
        if roads:
            yield Chapter(f"{theory.question.name}, by feedback theory", tuple(roads))
        strings = [bootstrap_words(one, float(ground.spot)) for one in theory.bootstraps.found[:TOLD]]
        if strings:
            yield Chapter(f"Bootstraps under the excitation of {theory.question.name}", tuple(strings))


def loop_sentences(found: Survey, ground: Ground) -> list[Words]:
    """One sentence a loop that counts, then one on the poles of the whole."""
    counted = [loop for loop in found.loops.loops if loop.counts]
    sentences = [_loop_words(loop, ground) for loop in counted[:LOOPS]]
    if len(counted) > LOOPS:
        sentences.append((f"{len(counted) - LOOPS} more have smaller return ratios.",))
    poles = poles_words(found.loops)
    return [*sentences, poles] if sentences and poles else sentences


def _loop_words(loop: Loop, ground: Ground) -> Words:
    at: Words = (" at ", Reading(float(ground.spot), "Hz", 6, "stated"))
    words: Words = ("The return ratio of ", source(loop), " is ", factor(loop.spot), *at, ", |1 + T| is ")
    words = (*words, Reading(abs(1 + loop.spot), "1", 3), ": feedback ", *senses(loop.margins, ground.band))
    first = next(iter(loop.margins.unity), None)
    if first is None:
        return (*words, "; |T| never passes one.")
    passes: Words = ("; |T| passes one at ", Reading(first.frequency, "Hz", 3), ", with a phase margin of ")
    return (*words, *passes, Reading(first.phase_margin, "°", 3), ".")


def connection_sentences(found: Survey, ground: Ground) -> list[Words]:
    """The connections that change most, and those that the author has cut."""
    sentences = []
    if found.effects is not None and found.effects.loop is not None:
        sentences = _ranked(found.effects)
    return sentences + [cut_sentences(one, ground) for one in found.cuts]


def _ranked(effects: Effects) -> list[Words]:
    names: list[Words] = [("T",), *((Formula(Name(w.name)),) for w in effects.watched[1:])]
    sentences: list[Words] = []
    for effect in effects.effects[:CONNECTIONS]:
        changes: list[Words] = []
        for name, watched, value in zip(names, effects.watched, effect.values, strict=True):
            if value is None:
                changes.append((*name, " has no finite value"))
            elif abs(value - watched.value) > MATTERS * abs(watched.value):
                both = factor(value, watched.unit), " instead of ", factor(watched.value, watched.unit)
                changes.append((*name, " is ", *both))
        adds = added(effects.watched[0].value, effect.values[0])
        tail = f": it {adds}." if adds != "–" else "."
        where = pin(effect.part, effect.pin, effect.node)
        how = " held at signal ground, " if effect.pin else " taken out, "
        sentences.append(("With ", *where, how, *listed(changes, ", "), tail))
    return sentences


def theory_sentences(theory: Theory, spot: float) -> list[Words]:
    """The formula around the chief source with its numbers, the corners, the error voltages."""
    name = Formula(Name(theory.question.name))
    around = theory.around
    sentences: list[Words] = []
    if isinstance(around, Asymptotic):
        pieces: Words = (" with A∞ ", factor(around.ideal.spot), ", T ", factor(around.ratio.spot), ", A₀ ")
        formula: Words = (name, " is A∞·T/(1 + T) + A₀/(1 + T),", *pieces, factor(around.dead.spot))
        sentences += [gain_words(around, spot), (*formula, ": exactly the nodal answer.")]
    elif isinstance(around, Blackman):
        values: Words = ("; Z₀ is ", factor(around.dead.spot, "Ω"), ", T with the port shorted ")
        values = (*values, factor(around.shorted.spot), ", open ", factor(around.opened.spot))
        sentences += [impedance_words(around, spot), (name, " is Z₀·(1 + T_sc)/(1 + T_oc)", *values, ".")]
    if theory.constants is not None:
        sentences += [corner_words(corner) for corner in theory.constants.corners]
    return sentences + _errors(theory)


def _errors(theory: Theory) -> list[Words]:
    """The voltage between the two controlling pins, for each device on the path."""
    told: list[Words] = []
    for error in theory.errors:
        if error.pins is not None:
            unit = error.ratio.exact.inquiry.unit
            between = f"'s {error.pins[0]} and {error.pins[1]} "
            told.append((Node(error.part), between, factor(error.ratio.spot, unit)))
    if not told:
        return []
    per = "volt" if theory.exact.inquiry.unit == "V/V" else "ampere"
    return [(f"For each {per} of the signal there stands between ", *listed(told, "; "), ".")]

