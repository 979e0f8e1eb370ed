"""Words that ask and join and say nothing of what is asked about: the core that look-ups and phases share."""

from __future__ import annotations

_WORDS = (
    "a an the my your its our this that of for to in on at is are be was am with and so if it i you we me us do"
    " does did have has can could should may must please pls plz hey hi ok okay well sorry umpire drumhead again"
    " then exactly just now here what whats wat which how when where called name thing things tell explain know"
    " mate there one about like work works again part get got go goes going need re ve question quick up"
)
ASKING_WORDS = frozenset(_WORDS.split())
