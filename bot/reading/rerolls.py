"""Which dice are thrown again, as people say it.

reroll = "re-roll" which                          the step is that of the number just said
which  = "1s" ["to" step] | step "rolls of 1"     ones
       | ["all"] ["failed"] step | "misses"       failed; "re-roll hits" means failed hits
       | "non-critical" step
       | "one" ["failed"] step                    a single die of the step
step   = "hits" | "wounds" | "saves", or two of them with "and"
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.reading.clause import Clause, Found, Says, clause
from resolver.attack import Reroll

_STEP = r"(?P<step>hit|wound|save)(?: roll)?s?(?: and (?:to |for |on )?(?P<also>hit|wound|save)(?: roll)?s?)?"
_ARE = r"(?:are|is|be|gets?|can be|may be|can|may)"
_AND_OF_ONES = r"(?: and (?:to |for |on |the )?(?P<also>hit|wound|save)(?: roll)?s? of (?:an? )?1s?)?"
_RE = r"(?:with |can |may )?(?:an? )?reroll"


def again(kind: Reroll) -> Says:
    """What a re-roll clause of this kind says, for the steps that it names."""

    def says(found: Found) -> Mapping[str, Any]:
        steps = [step for step in (found["step"], found["also"]) if step]
        if not steps:
            return {"reroll": kind}
        return {f"reroll_{step}": kind for step in steps}

    return says


def _one_or_failed(found: Found) -> Mapping[str, Any]:
    """ "Wound re-rolls" are of all failed ones; a "wound re-roll" may be a single one."""
    step = found["step"]
    if not found.words.lower().endswith(("s", "rerolled", "re-rolled", "re rolled")):
        found.doubt("All failed ones, or a single die?", f"re-roll failed {step}s", f"re-roll one failed {step}")
    return again(Reroll.FAILED)(found)


def _one_or_ones(found: Found) -> Mapping[str, Any]:
    """ "re-roll 1 to hit" may be every 1 or a single die."""
    step = found["step"]
    says = again(Reroll.ONES)(found)
    found.doubt("Every 1, or a single die?", f"re-roll 1s to {step}", f"re-roll one failed {step}")
    return says


CLAUSES: tuple[Clause, ...] = (
    clause(
        "re-roll 1s",
        None,
        rf"{_RE} (?:all |any |the )?(?:1s|of (?:an? )?1s?)(?: (?:to|on|for|when) (?:the )?{_STEP})?",
        again(Reroll.ONES),
    ),
    clause(
        "re-roll 1s",
        None,
        rf"{_RE} (?:all |any )?(?:(?:to |the )?{_STEP}) of (?:an? )?1s?{_AND_OF_ONES}",
        again(Reroll.ONES),
    ),
    clause("re-roll 1s", None, rf"{_RE} (?:all |any )?{_STEP} 1s", again(Reroll.ONES)),
    clause("re-roll which", None, rf"{_RE} (?:an? )?1 to {_STEP}", _one_or_ones),
    clause(
        "re-roll failed",
        None,
        rf"(?:full {_RE}|{_RE} (?:everything|anything))(?:s)?(?: (?:on|to|for|of))?(?: all)? {_STEP}",
        again(Reroll.FAILED),
    ),
    clause(
        "re-roll failed",
        None,
        rf"{_RE} (?:all |any |every )?(?:the )?(?:of the )?(?:failed |missed |failing )?(?:to |dice to )?{_STEP}",
        again(Reroll.FAILED),
    ),
    clause(
        "re-roll failed",
        None,
        rf"{_RE} (?:all |any )?(?:fails|failures|failed)(?: (?:to|on|for) {_STEP})?",
        again(Reroll.FAILED),
    ),
    clause(
        "re-roll failed",
        None,
        rf"{_RE} (?:all |any |the )?(?P<misses>misses|missed)",
        lambda found: {"reroll_hit": Reroll.FAILED},
    ),
    clause("re-roll failed", None, rf"and (?:all |any |the )?failed {_STEP}", again(Reroll.FAILED)),
    clause("re-roll 1s", None, rf"and 1s (?:to|on|for) {_STEP}", again(Reroll.ONES)),
    clause(
        "re-roll non-critical",
        None,
        rf"{_RE} (?:all |any )?(?:the )?(?:non ?critical|noncrit)(?: (?:to |on )?{_STEP})?",
        again(Reroll.NON_CRITICAL),
    ),
    clause(
        "re-roll one",
        None,
        rf"{_RE} (?:just |only )?(?:a )?(?:1|a) (?:failed |missed ){{0,2}}{_STEP}|{_RE} (?:a )?1 failed"
        rf"|(?:1|a) reroll (?:to|on|for) {_STEP}",
        again(Reroll.ONE_FAILED),
    ),
    clause(
        "re-roll one",
        None,
        rf"(?:1|a) (?:(?:failed |missed )?{_STEP}|miss) (?:(?:can|may) (?:be )?)?reroll"
        rf"|(?:an? )?(?:1 )?reroll of (?:an?|1) (?:failed )?{_STEP}",
        again(Reroll.ONE_FAILED),
    ),
    clause(
        "re-roll one",
        None,
        rf"{_RE} (?:1|a) miss",
        lambda found: {"reroll_hit": Reroll.ONE_FAILED},
    ),
    clause("re-roll failed", None, r"(?:full )?(?P<step>hit|wound|save) reroll", _one_or_failed),
    clause("re-roll 1s", None, rf"{_STEP} of (?:an? )?1s? (?:{_ARE} )?(?:all )?reroll", again(Reroll.ONES)),
    clause("re-roll 1s", None, rf"(?:all )?1s (?:to|on) {_STEP} (?:{_ARE} )?(?:all )?reroll", again(Reroll.ONES)),
    clause(
        "re-roll failed", None, rf"(?:all )?(?:failed|missed) {_STEP} (?:{_ARE} )?(?:all )?reroll", again(Reroll.FAILED)
    ),
    clause(
        "re-roll failed",
        None,
        rf"(?:all |the )?misses (?:{_ARE} )?(?:all )?reroll",
        lambda found: {"reroll_hit": Reroll.FAILED},
    ),
    clause(
        "re-roll failed",
        None,
        r"(?P<step>hit|wound|save) reroll (?:all |any )?(?:the )?(?:fails|failures|failed)",
        again(Reroll.FAILED),
    ),
    clause(
        "no re-rolls",
        None,
        r"no reroll(?! (?:1s?|failed|(?:hit|wound|save)(?! (?:on )?[0-9])|non)\b)",
        lambda found: {"no_rerolls": True},
    ),
)
