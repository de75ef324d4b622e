"""On what evidence the plan is built, and how strong that is: printed with every plan.

Studies of overtones themselves were not found; what stands here was learnt of other skills, some of it of music.
"""

from __future__ import annotations

from typing import NamedTuple


class Line(NamedTuple):
    """A principle, how strong its evidence is, and the source."""

    principle: str
    strength: str
    source: str


EVIDENCE = (
    Line(
        "What counts is the share of right complete tries, and what is left of it the next day; not minutes.",
        "fair: 17 pianists, one passage",
        "Duke, Simmons, Cash, J. Res. Music Educ. 56 (2009) 310",
    ),
    Line(
        "Days apart are better than one long day; whether the gaps grow hardly matters.",
        "fair: 839 assessments, mostly of words; expanding against even gaps g = 0.03",
        "Cepeda et al. 2006; Latimier et al. 2021",
    ),
    Line(
        "A new partial is practised in one block first and mixed with known ones after that.",
        "weak: clear in the laboratory, almost nothing in applied settings; clarinettists liked it",
        "Czyz et al., Sci. Rep. 14 (2024) 15974; Carter, Grahn 2016",
    ),
    Line(
        "Four in five tries should succeed.",
        "weak: a result about simple learning models (15.87 % errors), not about music",
        "Wilson et al., Nat. Commun. 10 (2019) 4646",
    ),
    Line(
        "Cents are told less often as a rung becomes sure: outside a band, or after a few tries.",
        "weak: small studies agree, corrected reviews find little",
        "Cruz et al. 2018; Aoyagi et al. 2019; McKay et al. 2022",
    ),
    Line(
        "You guess sharp or flat before the cents are shown.",
        "weak: one study of 52 people",
        "estimating one's own error before being told, J. Phys. Educ. (Brazil), from memory",
    ),
    Line(
        "A silent moment to hear the note before each try.",
        "weak: small gains of mental practice once unpublished studies are reckoned with",
        "Toth et al. 2020; Bernardi et al. 2013 (pianists)",
    ),
    Line(
        "A drop after a step up is expected, and one bad day means nothing.",
        "fair: 25,280 learning curves of other tasks",
        "Donner, Hardy, Psychon. Bull. Rev. 22 (2015) 1308",
    ),
    Line(
        "On a plateau: some days on the shorter fingerings, then back.",
        "common practice; that is why the coach says whether it helped",
        "teachers",
    ),
)
