"""The ear: an audio source, the voice activity detector and a recogniser in one thread."""

from __future__ import annotations

import math
import threading
import time
from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, replace

from callout.core.conversation.sound import SoundNotice
from callout.core.model.candidates import CandidateSet
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard
from callout.core.sentences import sound as sentences
from callout.errors import CalloutError
from callout.hearing.capture_time import Block, time_of_block
from callout.hearing.late_voice import LateVoice
from callout.hearing.over_voice import OverVoice
from callout.hearing.segmenter import BLOCK_SECONDS, Segmenter
from callout.hearing.sound_watch import SoundWatch
from callout.hearing.turns import Turns
from callout.ports.hearing import AudioSource, Recogniser, Samples
from callout.ports.listening import ListeningSink

TAIL_SECONDS = 0.15
"""Deaf for this long after arming: the room still rings with the tool's own voice."""
AT_ONCE_SECONDS = 0.1
"""Speech so soon after arming was there before: the tool's voice come late, or half a reply.
Only one that stands clear of the tool's voice can count; its last word alone is passed over."""
SOON_SECONDS = 0.3
"""Speech so soon may still be the end of a late challenge, after a stop consonant in it."""
LAST_WORD_SECONDS = 0.45
"""The end of a challenge that comes late is heard as a short word ("heat" as "eight")."""
SURE_AT_ONCE, SURE_OVER_VOICE = 0.96, 0.9
"""Least confidence in a reply that the tool's voice may have run into: at its beginning, or with a
headset below it. Chosen with ``callout bench hearing --only own-voice``, see bench/results."""
KEPT_BLOCKS = 64
"""Blocks kept while a reply is dealt with: where two people answer each other the next one may
begin before the session has made up its mind about the last."""


@dataclass(frozen=True, slots=True)
class _Armed:
    candidates: CandidateSet
    attempt: int
    since: float
    after_voice: bool
    """True if the tool has spoken since the ear was last armed."""


class Ear:
    """Listens in its own thread; every utterance heard while armed goes to the sink.

    A live source is drained all the time and what comes unarmed is dropped; a recording stands
    still until it is armed, so that no reply is lost between two items.

    over: with a headset, lets a person answer while the tool speaks; else the session disarms it.
    seats: where each enrolled person sits, by name.
    """

    def __init__(
        self,
        source: AudioSource,
        segmenter: Segmenter,
        recogniser: Recogniser,
        *,
        live: bool = True,
        tail: float = TAIL_SECONDS,
        over: OverVoice | None = None,
        seats: Mapping[str, Role] | None = None,
    ) -> None:
        self.name = f"{source.name}, {recogniser.name} recogniser"
        self._source = source
        self._turns = Turns(segmenter, recogniser)
        self._watch = SoundWatch(source, segmenter)
        self._live = live
        self._over = over if live else None
        self._seats = seats or {}
        self._saying = self._was_saying = self._told = self._spoke = False
        self._late = LateVoice()
        self._tail = tail if live else 0.0
        self._lock = threading.Condition()
        self._armed: _Armed | None = None
        self._fresh = False
        self._busy = False
        self._closed = False
        self._kept: deque[Block] = deque(maxlen=KEPT_BLOCKS)
        self._sink: ListeningSink | None = None
        self._thread = threading.Thread(target=self._run, name="ear", daemon=True)

    def start(self, sink: ListeningSink) -> None:
        """Begin to take blocks from the source."""
        self._sink = sink
        self._thread.start()

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        """Arm for an item; what was under way is dropped."""
        with self._lock:
            self._armed = _Armed(candidates, attempt, time.monotonic(), self._spoke)
            self._fresh, self._spoke = True, self._saying
            self._lock.notify_all()

    def stop_listening(self) -> None:
        """Report nothing until armed again."""
        with self._lock:
            self._armed = None
            self._lock.notify_all()

    def tool_speaks(self, now: bool) -> None:
        """Learn that the tool's own voice begins, or is silent again."""
        with self._lock:
            self._saying = now
            self._spoke |= now

    def taken(self) -> None:
        """Let a recording go on after its last utterance has been dealt with."""
        with self._lock:
            self._busy = False
            self._lock.notify_all()

    def close(self) -> None:
        """Stop the source and the thread."""
        with self._lock:
            self._closed = True
            self._lock.notify_all()
        self._source.close()
        if self._thread.is_alive() and self._thread is not threading.current_thread():
            self._thread.join(timeout=3.0)
        self._turns.close()

    def _run(self) -> None:
        sink = self._sink
        assert sink is not None
        try:
            for block in self._source.blocks():
                self._keep(block, sink)
                if self._live and self._busy:
                    continue
                armed = self._await_armed()
                if self._closed:
                    return
                self._take_kept(armed, sink)
            self._end_of_source(sink)
        except CalloutError as error:
            sink.on_failure(error.message, error.hint)
        except Exception as error:  # nothing in the ear may end the session
            sink.on_failure(sentences.listening_failed(error), "callout doctor")

    def _keep(self, block: Samples, sink: ListeningSink) -> None:
        level = self._watch.arrived()
        if len(self._kept) == KEPT_BLOCKS:
            self._watch.overflow()
        self._kept.append(Block(block, level, time_of_block(self._source)))
        self._tell_of_sound(self._watch.lost(), sink)

    def _tell_of_sound(self, news: list[SoundNotice], sink: ListeningSink) -> None:
        for notice in news:
            sink.on_disturbed(notice)

    def _await_armed(self) -> _Armed | None:
        """Return what is armed; a recording waits for it."""
        with self._lock:
            while not self._live and (self._armed is None or self._busy) and not self._closed:
                self._lock.wait()
            armed, fresh = self._armed, self._fresh
            self._fresh = False
        if armed is not None and fresh:
            self._turns.listen_for(armed.candidates)
            self._late.arm()
        return armed

    def _take_kept(self, armed: _Armed | None, sink: ListeningSink) -> None:
        """Take all blocks that have come since the last reply; drop them when nothing is armed."""
        while self._kept:
            block = self._kept.popleft()
            if armed is not None:
                self._take(block, armed, sink)
            elif self._spoke:
                self._late.own(block.samples)
            if self._live and self._busy:
                return

    def _take(self, block: Block, armed: _Armed, sink: ListeningSink) -> None:
        if self._live and time.monotonic() - armed.since < self._tail:
            return
        self._late.take(block.samples)
        through = self._let_through(block.samples, sink)
        for left, one in zip(reversed(range(len(through))), through, strict=True):
            heard = self._turns.push(one)
            self._watch.listen(one, block.level)
            if heard:
                self._report(heard, block.at - left * BLOCK_SECONDS, armed, sink)

    def _let_through(self, block: Samples, sink: ListeningSink) -> list[Samples]:
        """Return what is to be heard of a block and those before it; all without a headset."""
        over = self._over
        if over is None:
            return [block]
        if self._saying != self._was_saying:
            self._was_saying = self._saying
            over.speaking(self._was_saying)
        was_open, gated = over.open, over.gated
        blocks = over.take(block)
        if gated and not was_open:
            self._turns.drop()  # what is heard now begins here
            self._told = False
        elif over.open and self._turns.speaking and not self._told:
            self._told = True
            sink.on_speech()
        return blocks

    def _report(self, heard: Heard, at: float, armed: _Armed, sink: ListeningSink) -> None:
        """Report what was heard; at: when the last of what was taken of it was captured."""
        began = at - (self._turns.clock - heard.start)
        least = self._least(heard, armed)
        at_once = heard.start - self._turns.armed_at <= AT_ONCE_SECONDS
        if least == math.inf and at_once and heard.end - heard.start < LAST_WORD_SECONDS:
            return
        if self._over is not None and self._over.open:
            self._over.settle(reply=heard.sure)
        if heard.confidence < least:
            heard = replace(heard, sure=False)
        with self._lock:
            if self._armed is not armed or self._closed:
                return
            self._busy = True
        seat = self._seats.get(heard.voice)
        self._tell_of_sound(self._watch.utterance(heard), sink)
        sink.on_heard(armed.candidates.item_id, heard, began if self._live else None, seat)

    def _least(self, heard: Heard, armed: _Armed) -> float:
        """Return the confidence needed where the tool's voice was; infinite: none will do."""
        if self._over is not None:
            return SURE_OVER_VOICE if self._over.open else 0.0
        since_armed = heard.start - self._turns.armed_at
        if not self._live or not armed.after_voice or since_armed > SOON_SECONDS:
            return 0.0
        if not self._late.outspoken:
            return math.inf
        return SURE_AT_ONCE if since_armed <= AT_ONCE_SECONDS else 0.0

    def _end_of_source(self, sink: ListeningSink) -> None:
        armed = self._await_armed() if not self._closed else None
        if armed is not None and (heard := self._turns.end()):
            self._report(heard, time.monotonic(), armed, sink)
        if not self._closed:
            sink.on_failure(sentences.SOUND_SOURCE_HAS_ENDED, sentences.CONTINUE_ON_KEYBOARD)
