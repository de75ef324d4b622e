"""The order of the sessions: by the switch-on, the time since it, and the number; never by the date."""

from __future__ import annotations

IN_ORDER = "coalesce(boot, 0), coalesce(boottime_s, 0), id"
"""What to sort table ``session`` by; sessions that were kept before switch-ons were counted come first."""

NEWEST_FIRST = "coalesce(boot, 0) DESC, coalesce(boottime_s, 0) DESC, id DESC"
"""The same order the other way round."""

WITH_BOOT = "SELECT s.*, boot.key AS boot_key FROM session s LEFT JOIN boot ON boot.number = s.boot"
"""The sessions as `rows.head_of` wants them."""
