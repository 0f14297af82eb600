"""A figure typed where a reading is asked for, but said to be the maker's or assumed: it is stated, not measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ccassist.bench.step import Field
from ccassist.guide.modes import sight_of
from ccassist.guide.walk import kind_of
from ccassist.job.vocabulary import GIVEN_TERMS
from ccassist.values.findings import InputError
from ccassist.values.quantity import ORIGINS, parse

if TYPE_CHECKING:
    from ccassist.guide.session import Session


def is_given(session: Session, field: Field, text: str) -> bool:
    """Whether what was typed is such a figure of something that a part may state; one reading of it is one value."""
    alone = [f for f in session.method.fields if not f.optional] == [field]
    return alone and field.term in GIVEN_TERMS and not session.task.rows and not_read(session, field, text)


def not_read(session: Session, field: Field, text: str) -> bool:
    """Whether a text says of itself that it was not read, but is the maker's or assumed."""
    try:
        return parse(text, field.term, sight=sight_of(session, field)).origin in ORIGINS[1:]
    except InputError:
        return False  # what is wrong with it is said where readings are taken


def keep_given(session: Session, field: Field, text: str, *, sure: bool = False) -> None:
    """Put it into the file where it belongs, and go on: no repeats are asked of it."""
    from ccassist.analysis.questions import new_questions
    from ccassist.guide.modes import Sure, in_question
    from ccassist.guide.saving import guard

    target = session.target
    place = ["part", target.part] if target.part else ["cylinder", str(target.cylinder)]
    new = (target.part, kind_of(target)) if target.part and target.part not in session.job.parts else None
    try:
        after = session.file.with_statement(place, field.term, text, part=new)
        if not sure and (asked := new_questions(session.job, after)):
            session.say(*in_question(asked))
            session.mode = Sure(asked[0], lambda: keep_given(session, field, text, sure=True), session.mode)
            return
        if new is not None:
            session.file.add_part(*new)
        session.file.state(place, field.term, text)
    except InputError as fault:
        guard(session, fault)
        return
    heading = f'{place[0]}."{place[1]}"' if " " in place[1] else ".".join(place)
    session.say(f'Kept as a statement, not as a reading: [{heading}] {field.term} = "{text}"')
    session.stated.append(f"{'.'.join(place)} {field.term}")
    session.sure = False
    session.did(f"{field.term}, stated: {text}")
    session.refresh()
    session.advance()
