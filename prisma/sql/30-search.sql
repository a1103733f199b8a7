-- Full text over search_row without accents. `unaccent` is only STABLE since its rules can be
-- changed; with the dictionary named it may stand in a generated column.
CREATE EXTENSION IF NOT EXISTS unaccent;

CREATE OR REPLACE FUNCTION plain_words(text) RETURNS text
  LANGUAGE sql IMMUTABLE PARALLEL SAFE STRICT
  AS $$ SELECT public.unaccent('public.unaccent'::regdictionary, $1) $$;

ALTER TABLE search_row ADD COLUMN IF NOT EXISTS words tsvector
  GENERATED ALWAYS AS (
    setweight(to_tsvector('simple'::regconfig, plain_words(title)), 'A') ||
    setweight(to_tsvector('english'::regconfig, plain_words(text)), 'B') ||
    setweight(to_tsvector('simple'::regconfig, plain_words(text)), 'C')
  ) STORED;

-- Words and filters in one index: what several of them have in common is found within it.
DROP INDEX IF EXISTS search_row_words;
CREATE INDEX IF NOT EXISTS search_row_found ON search_row USING gin (words, keys);
CREATE INDEX IF NOT EXISTS search_row_newest ON search_row (recorded_at DESC, row_id DESC);
