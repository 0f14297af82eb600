"""Which term a word means, where it stands: by its key, its trade name, or a word of the trade."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property

from ccassist.vocabulary.slips import closest, plain
from ccassist.vocabulary.term import Term
from ccassist.vocabulary.words import OTHERWISE, SIGNED, WORDS


@dataclass(frozen=True, kw_only=True)
class Meant:
    """A term that a word may mean; ``says`` is the word for its sign that the name itself says, "" for none."""

    term: Term
    says: str = ""


class Names:
    """All names of all terms."""

    def __init__(self, terms: Mapping[str, Term]) -> None:
        self.terms = terms

    @cached_property
    def _index(self) -> dict[str, tuple[Meant, ...]]:
        """Every name -> the terms it may mean.  A key or a trade name means its own term alone."""
        own: dict[str, Meant] = {}
        for term in self.terms.values():
            own.setdefault(plain(term.key), Meant(term=term))
        for term in self.terms.values():
            own.setdefault(plain(term.name), Meant(term=term))
        found: dict[str, list[Meant]] = {}
        for key, words in WORDS.items():
            for word in words:
                found.setdefault(plain(word), []).append(Meant(term=self.terms[key]))
        for key, signed in SIGNED.items():
            for word, says in signed.items():
                found.setdefault(plain(word), []).append(Meant(term=self.terms[key], says=says))
        return {**{word: tuple(meant) for word, meant in found.items()}, **{name: (one,) for name, one in own.items()}}

    def meant(self, word: str, among: Container[str] | None = None) -> tuple[Meant, ...]:
        """The terms that a word may mean, of those that have a place here; none where it is no name."""
        if word in self.terms:
            found: tuple[Meant, ...] = (Meant(term=self.terms[word]),)
        else:
            found = self._index.get(plain(word), ())
        return tuple(one for one in found if among is None or one.term.key in among)

    def otherwise(self, word: str) -> tuple[Term, str] | None:
        """The term by which a word is said here, and how one comes from the other; None where there is none."""
        said = _otherwise().get(plain(word))
        return (self.terms[said[0]], said[1]) if said else None

    def nearest(self, word: str, known: Iterable[str]) -> str | None:
        """The known name of which a word is a slip of spelling; one that is another term's, or nobody's, is none."""
        known = tuple(known)
        names = dict(self._meanings) if any(name in self.terms for name in known) else {}
        for name in known:
            names[plain(name)] = {name}
        found = closest(word, names)
        return found if found in known else None

    @cached_property
    def _meanings(self) -> dict[str, set[str]]:
        """Every name -> the keys it may mean; one that is said otherwise here means none."""
        means = {name: {one.term.key for one in meant} for name, meant in self._index.items()}
        return {**{word: {""} for word in _otherwise()}, **means}


@cache
def _otherwise() -> dict[str, tuple[str, str]]:
    return {plain(word): said for word, said in OTHERWISE.items()}
