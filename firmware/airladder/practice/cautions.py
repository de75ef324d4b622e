"""What a careful teacher says before the first practice of all; each a screenful of at most 100 characters.

Loudness: NIOSH 98-126 recommends no more than 85 dBA over 8 hours, and a saxophone is louder at the player's ear
(S. Phillips, S. Mace, Music Performance Research 2 (2008)). The rest is common practice of teachers and clinicians.
"""

from __future__ import annotations

FIRST_RUN = (
    "The horn is loud: keep it short, rest your ears, use plugs. This box measures no loudness.",
    "No force, ever. Pain, numbness or dizziness: stop, breathe normally, ask a teacher or a clinician.",
    "This box is no medical device and no sound-level meter: trust your body and your ears.",
)
"""In the order in which they are shown."""
