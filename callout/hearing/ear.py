"""The ear: an audio source, the voice activity detector and a recogniser in one thread."""

from __future__ import annotations

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
from callout.hearing.passage import Passage
from callout.hearing.segmenter import BLOCK_SECONDS, Segmenter
from callout.hearing.sound_watch import SoundWatch
from callout.hearing.turns import Turns
from callout.ports.hearing import AudioSource, Recogniser, Samples
from callout.ports.listening import ListeningSink

TAIL_SECONDS = 0.15
"""Deaf for this long after arming: the room still rings with the tool's own voice."""
KEPT_BLOCKS = 64
"""Blocks kept while a reply is handled: when two people answer each other, the next reply may begin
before the session has decided about the last.
"""


@dataclass(frozen=True, slots=True)
class _Armed:
    candidates: CandidateSet
    attempt: int
    """Number of the attempt at this item, from 0."""
    since: float
    """Time on the port's clock, in seconds."""
    after_voice: bool
    """True if the tool has spoken since the ear was last armed."""


def _same_item(one: _Armed, other: _Armed) -> bool:
    return one.candidates.item_id == other.candidates.item_id


class Ear:
    """Listens in its own thread; every utterance heard while armed goes to the sink.

    A live source is drained all the time, and what arrives unarmed is dropped; a recording pauses
    until armed, so that no reply is lost between two items.

    passage: decides what may be a reply during and just after the tool's speech; a recording needs
    none. seats: where each enrolled person sits, by name.
    """

    def __init__(
        self,
        source: AudioSource,
        segmenter: Segmenter,
        recogniser: Recogniser,
        *,
        live: bool = True,
        tail: float = TAIL_SECONDS,
        passage: Passage | None = None,
        seats: Mapping[str, Role] | None = None,
    ) -> None:
        self.name = f"{source.name}, {recogniser.name} recogniser"
        self._source = source
        self._turns = Turns(segmenter, recogniser)
        self._watch = SoundWatch(source, segmenter)
        self._live = live
        self._passage = passage if passage and live else Passage()
        self._seats = seats or {}
        self._saying = self._told = self._spoke = False
        self._tail = tail if live else 0.0
        self._lock = threading.Condition()
        self._armed: _Armed | None = None
        self._last: _Armed | None = None
        """What it was last armed for."""
        self._fresh = False
        self._busy = False
        self._closed = False
        self._kept: deque[Block] = deque(maxlen=KEPT_BLOCKS)
        self._sink: ListeningSink | None = None
        self._thread = threading.Thread(target=self._run, name="ear", daemon=True)

    def start(self, sink: ListeningSink) -> None:
        """Start to take blocks from the source."""
        self._sink = sink
        self._thread.start()

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        """Arm for an item; the current utterance is discarded."""
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
        """Note that the tool's own voice begins or has stopped."""
        with self._lock:
            self._saying = now
            self._spoke |= now

    def taken(self) -> None:
        """Let a recording continue after its last utterance has been handled."""
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
        at = time_of_block(self._source)
        self._kept.append(Block(self._passage.clean(block, at), level, at))
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
        if armed is not None and fresh and not self._goes_on(armed):
            self._turns.listen_for(armed.candidates)
            self._passage.arm(self._turns.clock)
        self._last = armed or self._last
        return armed

    def _goes_on(self, armed: _Armed) -> bool:
        """Return True if a recording is playing and the same question is merely asked again."""
        again = self._last is not None and _same_item(armed, self._last)
        return not self._live and again and self._turns.speaking

    def _take_kept(self, armed: _Armed | None, sink: ListeningSink) -> None:
        """Take all blocks that have arrived since the last reply; drop them if nothing is armed."""
        while self._kept:
            block = self._kept.popleft()
            if armed is not None:
                self._take(block, armed, sink)
            elif self._spoke:
                self._passage.unarmed(block.samples)
            if self._live and self._busy:
                return

    def _take(self, block: Block, armed: _Armed, sink: ListeningSink) -> None:
        if self._live and time.monotonic() - armed.since < self._tail:
            return
        through = self._let_through(block.samples)
        for left, one in zip(reversed(range(len(through))), through, strict=True):
            heard = self._turns.push(one)
            self._watch.listen(one, block.level)
            self._tell_of_speech(sink)
            if heard:
                self._report(heard, block.at - left * BLOCK_SECONDS, armed, sink)

    def _let_through(self, block: Samples) -> list[Samples]:
        """Return what may be heard of a block and the blocks before it."""
        blocks = self._passage.take(block, self._saying, self._turns.clock)
        if self._passage.began:
            self._turns.drop()  # what is heard now begins here
            self._told = False
        return blocks

    def _tell_of_speech(self, sink: ListeningSink) -> None:
        """Report once per utterance that it has begun."""
        person = self._passage.open or not self._saying
        if self._turns.speaking and not self._told and person:
            self._told = True
            sink.on_speech()
        self._told &= self._turns.speaking

    def _report(self, heard: Heard, at: float, armed: _Armed, sink: ListeningSink) -> None:
        """Report what was heard; at: when its last sample was captured."""
        began = at - (self._turns.clock - heard.start)
        after_voice = self._live and armed.after_voice
        if self._passage.last_word(heard, after_voice=after_voice):
            return
        least = self._passage.least(heard, after_voice=after_voice)
        self._passage.settle(reply=heard.sure)
        if heard.confidence < least:
            heard = replace(heard, sure=False)
        if not self._still_meant(armed):
            return
        seat = self._seats.get(heard.voice)
        self._tell_of_sound(self._watch.utterance(heard), sink)
        since = began if self._live else None
        sink.on_heard(armed.candidates.item_id, heard, since, seat, self._turns.sound)

    def _still_meant(self, armed: _Armed) -> bool:
        """Say whether the question has stayed the same since this was heard; if so, mark the ear
        busy.
        """
        with self._lock:
            while not self._live and self._armed is None and not self._closed:
                self._lock.wait()
            now = self._armed
            again = not self._live and now is not None and _same_item(now, armed)
            self._busy = (now is armed or again) and not self._closed
            return self._busy

    def _end_of_source(self, sink: ListeningSink) -> None:
        armed = self._await_armed() if not self._closed else None
        if armed is not None and (heard := self._turns.end()):
            self._report(heard, time.monotonic(), armed, sink)
        if not self._closed:
            sink.on_failure(sentences.SOURCE_ENDED, sentences.CONTINUE_ON_KEYBOARD)
