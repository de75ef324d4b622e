"""The page of results of the power cuts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from board.cuts import Cut

_COLUMNS = (
    *("cut", "seed", "to be cut in", "moment", "version", "what was going on", "told kept / given", "in the log"),
    *("not flushed: lost, torn, kept", "file system", "wrong", "s"),
)


@dataclass(frozen=True)
class Part:
    """Cuts of one kind.

    Attributes
    ----------
    title, about : of their table
    cuts : all of them
    harmless : whether nothing may be lost; else something must be, in each
    """

    title: str
    about: str
    cuts: Sequence[Cut]
    harmless: bool

    @property
    def bad(self) -> int:
        """How many cuts did not end as they should."""
        return sum(bool(cut.verdict.wrong) if self.harmless else not cut.verdict.wrong for cut in self.cuts)

    @property
    def text(self) -> str:
        """The part of the page."""
        told, lost = sum(cut.told for cut in self.cuts), sum(cut.verdict.lost for cut in self.cuts)
        left = [cut.aftermath for cut in self.cuts]
        writes = [sum(fate) for fate in zip(*((one.dropped, one.torn, one.kept) for one in left), strict=True)]
        wanted = "nothing may be lost or damaged" if self.harmless else "the same judge must find losses or damage"
        return f"""## {self.title}

{self.about}
Here {wanted}: **{len(self.cuts)} cuts, {self.bad} not so; {told} tries told as kept at these starts, {lost} lost.**
Of the writes that were not flushed {writes[0]} were lost, {writes[1]} torn, {writes[2]} kept.

{table(self.cuts)}
"""


def row(cut: Cut) -> str:
    """One line of a table."""
    verdict, left = cut.verdict, cut.aftermath
    cells = (
        *(cut.number, cut.seed, cut.deed.value, cut.moment, cut.version or "-", cut.doing),
        *(f"{cut.told} / {cut.given}", verdict.found, f"{left.dropped}, {left.torn}, {left.kept}", verdict.state),
        *("; ".join(verdict.wrong).replace("|", "/")[:300] or "nothing", f"{cut.seconds:.0f}"),
    )
    return f"| {' | '.join(str(cell) for cell in cells)} |"


def table(cuts: Sequence[Cut]) -> str:
    """All of them."""
    return "\n".join([f"| {' | '.join(_COLUMNS)} |", f"|{'---|' * len(_COLUMNS)}", *map(row, cuts)])


def page(run: str, parts: Sequence[Part]) -> str:
    """The whole page; `run` says how, where and for how long it was run."""
    return f"""# Power cuts on the virtual board

{run} Untested on hardware.

The program is the real one, started by the box's own launcher, on recorded saxophone. Its data partition is ext4 on
a disk of ours (`tests/board/forgetting.py`) that keeps what was flushed, and of all else any share, in any order,
torn at 512 bytes. The seed gives the moments and what the disk keeps; how far the board has come by then depends on
the computer.

"told kept" are tries of which the board had said on its console that they are kept, at this start; "in the log" are
all tries of all starts that are there after the cut, with the values they were given. Wrong would be also: a file
system that is not sound once its journal is replayed, a try that nobody gave, settings that are neither the last nor
the next ones, a version or a drive that is there by its name and not whole, and a board that at its next start calls
its log damaged, or counts other tries in it than we do.

{chr(10).join(part.text for part in parts)}"""
