"""Two examinations of one instrument, note by note: what was cured, what was not, what is new."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from diagnostics.rules.looks import Found, Look, rank


class Change(StrEnum):
    """What became of a fault on a note.

    Only a note looked at both times tells anything; the last two say which look is missing.
    """

    CURED = "cured"
    BETTER = "better"
    UNCHANGED = "unchanged"
    WORSE = "worse"
    NEW = "new"
    NOT_LOOKED_AT_AGAIN = "not_looked_at_again"
    NOT_LOOKED_AT_BEFORE = "not_looked_at_before"


# What a fault that was there can have become, where the note was looked at again.
FOLLOWED = (Change.CURED, Change.BETTER, Change.UNCHANGED, Change.WORSE)


@dataclass(frozen=True)
class Compared:
    """A fault on a note, then and now; a severity is None where it was not found.

    `component` is "" while open. `causes` are those recorded then. `worked_on` says that the note,
    or the whole instrument, was worked on in between.
    """

    note_midi: int | None
    fault: str
    component: str
    component_name: str
    severity_before: str | None
    severity_after: str | None
    change: Change
    causes: frozenset[str] = frozenset()
    worked_on: bool = False


@dataclass(frozen=True)
class Comparison:
    """Every fault of either examination, the lowest note first and the whole instrument last."""

    before: Look
    after: Look
    items: tuple[Compared, ...]

    @property
    def notes_compared(self) -> frozenset[int]:
        """The notes looked at both times."""
        return self.before.notes & self.after.notes

    @property
    def counts(self) -> dict[Change, int]:
        """How many faults there are of each change, none left out."""
        counted = Counter(each.change for each in self.items)
        return {change: counted[change] for change in Change}


def compared(before: Look, after: Look, worked_on: Collection[int | None] = ()) -> Comparison:
    """Return what became of each fault from one examination to a later one.

    A fault is the same when note, fault and component are; one whose component is open is the same
    as one on that note whose component is known. Of several causes the worst severity counts.
    `worked_on` are the notes worked on in between, None standing for the whole instrument.
    """
    notes = {each.note_midi for look in (before, after) for each in look.found}
    items = [
        item
        for note in sorted(notes, key=lambda note: (note is None, note or 0))
        for item in _on_note(note, before, after, is_worked_on=bool({note, None} & set(worked_on)))
    ]
    return Comparison(before, after, tuple(items))


def _on_note(
    note: int | None, before: Look, after: Look, *, is_worked_on: bool
) -> Iterator[Compared]:
    then, now = before.on(note), after.on(note)
    for fault in dict.fromkeys(each.fault for each in (*then, *now)):
        for old, new in _pairs(_of_fault(then, fault), _of_fault(now, fault)):
            # Of the two, the one that names its component.
            known = max([*old, *new], key=lambda each: bool(each.component))
            yield Compared(
                note_midi=note,
                fault=fault,
                component=known.component,
                component_name=known.component_name,
                severity_before=old[0].severity if old else None,
                severity_after=new[0].severity if new else None,
                change=_change(old, new, note, before, after),
                causes=frozenset(each.cause for each in old if each.cause),
                worked_on=is_worked_on,
            )


# The findings of one fault on a note by component, each list the worst first.
Components = dict[str, list[Found]]


def _of_fault(found: Iterable[Found], fault: str) -> Components:
    by_component: Components = {}
    for each in found:
        if each.fault == fault:
            by_component.setdefault(each.component, []).append(each)
    return by_component


def _pairs(then: Components, now: Components) -> Iterator[tuple[list[Found], list[Found]]]:
    """Yield what is the same fault then and now; either list is empty where there is no match."""
    for component in [each for each in then if each in now]:
        yield then.pop(component), now.pop(component)
    for one, other in ((then, now), (now, then)):
        if "" in one and other:
            matched = one.pop(""), other.pop(next(iter(other)))
            yield matched if one is then else matched[::-1]
    yield from ((old, []) for old in then.values())
    yield from (([], new) for new in now.values())


def _change(
    old: list[Found], new: list[Found], note: int | None, before: Look, after: Look
) -> Change:
    if not new:
        return Change.CURED if after.has_looked_at(note) else Change.NOT_LOOKED_AT_AGAIN
    if not old:
        return Change.NEW if before.has_looked_at(note) else Change.NOT_LOOKED_AT_BEFORE
    difference = rank(new[0].severity) - rank(old[0].severity)
    if difference:
        return Change.WORSE if difference > 0 else Change.BETTER
    return Change.UNCHANGED


@dataclass(frozen=True)
class Cures:
    """Of so many faults `followed` up, how many were `cured`."""

    cured: int = 0
    followed: int = 0

    def __add__(self, other: "Cures") -> "Cures":
        return Cures(self.cured + other.cured, self.followed + other.followed)


NO_CURES = Cures()


def cures(items: Iterable[Compared]) -> Cures:
    """Return how many faults were cured of those looked at again and not worked on in between.

    What was repaired tells nothing of what happened by itself or by treating the room. A fault that
    is only better is not cured.
    """
    followed = [each for each in items if each.change in FOLLOWED and not each.worked_on]
    return Cures(sum(each.change == Change.CURED for each in followed), len(followed))


def sentence(comparison: Comparison) -> str:
    """Return the counts as a sentence or two for a person."""
    counts = comparison.counts
    followed = [f"{counts[change]} {change}" for change in FOLLOWED if counts[change]]
    told = ["No fault that was there before was looked at again."]
    if followed:
        total = sum(counts[change] for change in FOLLOWED)
        told = [f"Of {_faults(total)} looked at again: {', '.join(followed)}."]
    told += [
        f"{_faults(counts[change])} {'is' if counts[change] == 1 else 'are'} {words}."
        for change, words in OTHERS.items()
        if counts[change]
    ]
    return " ".join(told)


OTHERS = {
    Change.NEW: "new",
    Change.NOT_LOOKED_AT_AGAIN: "on notes not looked at again",
    Change.NOT_LOOKED_AT_BEFORE: "on notes not looked at before",
}


def _faults(count: int) -> str:
    return f"{count} {'fault' if count == 1 else 'faults'}"
