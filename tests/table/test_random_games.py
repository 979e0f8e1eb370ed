"""Random games through the app: whatever is said, in whatever order, replay equals state and nothing breaks."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.conversation import say, umpire
from tests.table.play import folded_anew, play

OURS = st.sampled_from(["Wardens", "Reed Runners"])
THEIRS = st.sampled_from(["Kiln Guard", "Ember Crew"])
ANY = OURS | THEIRS
PAIR = st.tuples(OURS, THEIRS) | st.tuples(THEIRS, OURS)
FAR = st.integers(1, 40)
TAIL = st.sampled_from(["", " anyway", " anyway because we agreed", " in cover"])
message = st.one_of(
    st.sampled_from(["next phase", "end turn", "back", "undo", "agreed", "not agreed", "rest", "anyway", "what now"]),
    st.sampled_from(["go to the shooting phase", "go to the fight phase", "go to the charge phase", "own dice yes"]),
    st.sampled_from(["sit with the Wardens", "sit with the Kiln Guard", "leave", "where are we", "report", "1", "12"]),
    st.builds("undo #{}".format, st.integers(1, 30)),
    st.builds(
        "correct #{} {}".format, st.integers(1, 30), st.sampled_from(["T4", "AP-2", "at 8", "hit 3+", "in cover"])
    ),
    st.builds(lambda pair, far, tail: f"{pair[0]} shoot {pair[1]} at {far}{tail}", PAIR, FAR, TAIL),
    st.builds(lambda pair, tail: f"{pair[0]} fight {pair[1]}{tail}", PAIR, TAIL),
    st.builds(lambda pair, far, tail: f"{pair[0]} charge {pair[1]} from {far}{tail}", PAIR, FAR, TAIL),
    st.builds(
        lambda unit, act, tail: f"{unit} {act}{tail}", ANY, st.sampled_from(["move", "advance", "fall back"]), TAIL
    ),
    st.builds(lambda unit, count: f"{unit} lost {count} wounds", ANY, st.integers(1, 9)),
    st.builds(lambda unit, count: f"{unit} has {count} models left", ANY, st.integers(0, 10)),
    st.builds(lambda pair, far: f"{pair[0]} are {far} from {pair[1]}", PAIR, FAR),
    st.builds(lambda pair: f"{pair[0]} are engaged with {pair[1]}", PAIR),
    st.builds(lambda pair: f"step by step {pair[0]} shoot {pair[1]} at 8", PAIR),
    st.sampled_from(["roll", "finish", "stop", "6 6 6"]),
    st.builds("score {} {}".format, THEIRS, st.integers(0, 9)),
)
games = st.lists(st.tuples(st.sampled_from(["Ada", "Ben"]), message), max_size=25)
KINDS = {"table", "attack", "odds", "misread", "choice", "ruling", "phase", "entry", "unknown"}


@given(games)
@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow])
def test_replay_equals_state_over_random_games(said: list[tuple[str, str]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        with umpire(Path(folder)) as app:
            play(app, "open table Saltmarsh Wardens against Kiln Guard")
            for who, text in said:
                reply = say(app, text, who)
                assert reply.kind in KINDS, (text, reply)
                kept, anew = folded_anew(app)
                assert kept == anew
            before = kept.state() if said else None
        with umpire(Path(folder)) as app:
            kept, anew = folded_anew(app)
            assert kept == anew
            assert before is None or kept.state() == before
