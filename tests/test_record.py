"""Records behave as the frozen data classes of the standard library do: each is compared with one made alike."""

from __future__ import annotations

import copy
import pickle
from dataclasses import KW_ONLY, FrozenInstanceError, asdict, dataclass, field, fields, replace
from functools import cached_property
from typing import Any

import pytest

from ccassist.vocabulary.record import record

PLAIN = dataclass(frozen=True, kw_only=True)


@PLAIN
class Plain:
    """By the standard library."""

    name: str
    sizes: tuple[float, ...] = ()
    words: list[str] = field(default_factory=list)
    seen: int = field(default=0, compare=False)
    hidden: str = field(default="", repr=False)

    @cached_property
    def length(self) -> int:
        """Kept beside the fields."""
        return len(self.sizes)


@record
class Mine:
    """By ours."""

    name: str
    sizes: tuple[float, ...] = ()
    words: list[str] = field(default_factory=list)
    seen: int = field(default=0, compare=False)
    hidden: str = field(default="", repr=False)

    @cached_property
    def length(self) -> int:
        """Kept beside the fields."""
        return len(self.sizes)


@record
class Longer(Mine):
    """A record that adds to another."""

    more: int = 3


@record
class Named:
    """Fields named as anything is, inside the record's own methods too."""

    one: int
    given: int = 2
    named: int = 3
    kind: str = ""


@record
class Key:
    """All of it can be hashed."""

    a: int
    b: str = "b"


@record(kw_only=False)
class Placed:
    """In their order; the last by name only."""

    a: int
    b: tuple[str, ...] = ()
    _: KW_ONLY
    c: list[int] = field(default_factory=list)
    d: float = 0.5


@record
class Checked:
    """One that looks at what it was given."""

    a: int

    def __post_init__(self) -> None:
        if self.a < 0:
            raise ValueError("below nothing")


def both(**given: Any) -> tuple[Plain, Mine]:
    """The same fields in each."""
    return Plain(**given), Mine(**given)


@pytest.mark.parametrize(
    "given", [{"name": "a"}, {"name": "b", "sizes": (1.5, 2.5), "words": ["x"], "seen": 3, "hidden": "h"}]
)
def test_it_shows_and_lists_its_fields_alike(given: dict[str, Any]) -> None:
    plain, mine = both(**given)
    assert repr(mine) == repr(plain).replace("Plain", "Mine")
    assert asdict(mine) == asdict(plain)
    assert [(f.name, f.default, f.compare, f.kw_only) for f in fields(mine)] == [
        (f.name, f.default, f.compare, f.kw_only) for f in fields(plain)
    ]
    assert asdict(replace(mine, name="z")) == asdict(replace(plain, name="z"))


def test_alike_are_equal_and_what_is_not_compared_is_not() -> None:
    for kind in (Plain, Mine):
        assert kind(name="a", seen=1) == kind(name="a", seen=2)
        assert kind(name="a") != kind(name="b")
        one = kind(name="a", sizes=(1.0,))
        assert one.length == 1
        assert one == kind(name="a", sizes=(1.0,))  # what was kept beside the fields is none of them
    assert Mine(name="a") != Longer(name="a")
    assert Key(a=1) != 1


def test_a_list_of_its_own_for_each() -> None:
    one, other = Mine(name="a"), Mine(name="a")
    assert one.words is not other.words


def test_it_can_be_a_key_where_its_fields_can() -> None:
    assert hash(Key(a=1)) == hash(Key(a=1, b="b"))
    assert {Key(a=1): "x"}[Key(a=1)] == "x"
    with pytest.raises(TypeError, match="unhashable"):
        hash(Mine(name="a"))


def test_nothing_of_it_changes() -> None:
    one = Key(a=1)
    with pytest.raises(FrozenInstanceError, match="a"):
        one.a = 2  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError, match="b"):
        del one.b
    with pytest.raises(FrozenInstanceError, match="c"):
        one.c = 2  # type: ignore[attr-defined]
    assert one == Key(a=1)


@pytest.mark.parametrize("wrong", [{}, {"name": "a", "colour": "red"}])
def test_what_is_left_out_or_unknown_is_refused(wrong: dict[str, Any]) -> None:
    said = []
    for kind in (Plain, Mine):
        with pytest.raises(TypeError, match=r"name|colour") as caught:
            kind(**wrong)
        said.append(str(caught.value).replace(kind.__name__, ""))
    assert said[0] == said[1]
    with pytest.raises(TypeError, match="positional"):
        Mine("a")  # type: ignore[misc]


def test_one_made_of_another_has_the_fields_of_both() -> None:
    assert repr(Longer(name="a", more=4)) == "Longer(name='a', sizes=(), words=[], seen=0, more=4)"
    assert Longer(name="a").more == 3


def test_a_field_may_have_any_name() -> None:
    assert repr(Named(one=1)) == "Named(one=1, given=2, named=3, kind='')"


def test_it_may_check_itself() -> None:
    assert Checked(a=0).a == 0
    with pytest.raises(ValueError, match="below nothing"):
        Checked(a=-1)


def test_it_is_copied_and_kept() -> None:
    for one in (Key(a=4), Longer(name="a", sizes=(2.0,))):
        assert copy.deepcopy(one) == one
        assert pickle.loads(pickle.dumps(one)) == one


def test_fields_in_their_order_where_that_is_asked() -> None:
    assert Placed(1, ("x",), d=2.0) == Placed(a=1, b=("x",), c=[], d=2.0)
    assert repr(Placed(1)) == "Placed(a=1, b=(), c=[], d=0.5)"
    with pytest.raises(TypeError, match="positional"):
        Placed(1, (), [])  # type: ignore[misc]
    assert replace(Placed(1), a=2).a == 2


def test_a_function_that_is_usual_is_no_method() -> None:
    @record
    class Worked:
        by: Any = abs
        of: Any = lambda number: -number

    assert Worked().of(1) == -1
    assert Worked().by(-1) == 1
    assert Worked(of=abs).of(-1) == 1
