"""What the rules that explain a refusal look at."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.judging.pattern import Pattern
from callout.core.judging.reply import ParsedReply
from callout.core.language.reasons import Reason
from callout.core.language.tables import Tables
from callout.core.language.words import Token
from callout.core.model.expectation import Expectation
from callout.core.model.verdict import Judgement, Verdict


@dataclass(frozen=True, slots=True)
class RefusalContext:
    """A reply that is not a match, with everything known about it."""

    tokens: tuple[Token, ...]
    reply: ParsedReply
    expectation: Expectation
    accepted: tuple[Pattern, ...]
    asking: bool
    hedge: str
    tables: Tables

    @property
    def texts(self) -> tuple[str, ...]:
        """The words said."""
        return tuple(t.text for t in self.tokens)

    @property
    def due(self) -> str:
        """The accepted answers, quoted."""
        texts = [f'"{a.text}"' for a in self.expectation.accepted]
        return " or ".join(texts[:3]) if texts else "the answer"

    @property
    def expected(self) -> frozenset[str]:
        """Every word of an accepted answer."""
        return frozenset(w for p in self.accepted for w in p.words)

    @property
    def states(self) -> frozenset[str]:
        """Every word of a contrast set, the checklist's own included."""
        return frozenset(self.tables.opposites).union(*self.reply.contrasts)

    @property
    def contrary(self) -> frozenset[str]:
        """Words that exclude an expected one."""
        return frozenset().union(*(self.excluded(w) for w in self.expected))

    def excluded(self, word: str) -> frozenset[str]:
        """Return the words that exclude ``word``."""
        own = (g - {word} for g in self.reply.contrasts if word in g)
        return frozenset(self.tables.opposites.get(word, ())).union(*own)

    def content(self) -> tuple[Token, ...]:
        """Return the tokens that carry meaning."""
        passed = zip(self.tokens, self.reply.skips, strict=True)
        return tuple(t for t, n in passed if not n and t.text not in self.tables.skip_words)

    def echoed(self) -> frozenset[str]:
        """Return the words that only repeat the challenge."""
        texts = self.texts
        spans = (texts[i : i + n] for i, n in enumerate(self.reply.echoes))
        return frozenset(w for span in spans for w in span)

    def explained(self, token: Token) -> bool:
        """True for a state, side, number, unit, name or status: words that replies consist of."""
        tables, text = self.tables, token.text
        if token.piece and not token.piece.soft:
            return True
        if text in self.expected or text in self.states or text in self.echoed():
            return True
        if text in tables.sides or text in tables.negations or text in tables.quantifiers:
            return True
        indexes = (tables.bare, tables.things, tables.switched, tables.labels, tables.unit_words)
        return any(text in index for index in indexes)


def unclear_judgement(code: Reason, sentence: str, why: str = "") -> Judgement:
    """Return an unclear judgement; why: what the trace says about the rule."""
    return Judgement(Verdict.UNCLEAR, code.value, sentence, trace=(f"rule: {why or code.value}",))


def mismatch_judgement(code: Reason, sentence: str, why: str = "") -> Judgement:
    """Return a mismatch."""
    return Judgement(Verdict.MISMATCH, code.value, sentence, trace=(f"rule: {why or code.value}",))


def reversed_root(text: str, words: frozenset[str], tables: Tables) -> str | None:
    """Return the word in ``words`` that differs from ``text`` only by a reversing prefix."""
    for prefix in tables.prefixes:
        if text.startswith(prefix) and text[len(prefix) :] in words:
            return text[len(prefix) :]
        if prefix + text in words and len(text) > 3:
            return prefix + text
    return None
