-- How easily each tone spoke. Empty in tries that were kept before this step: nobody measured it then.

ALTER TABLE attempt ADD COLUMN push_db REAL;     -- loudest level before the tone spoke, dB re its steady level
ALTER TABLE attempt ADD COLUMN unsteady_db REAL; -- half the range of the middle 80 per cent of its levels, dB
ALTER TABLE attempt ADD COLUMN clipped REAL CHECK (clipped BETWEEN 0 AND 1); -- share of it cut off at full scale
