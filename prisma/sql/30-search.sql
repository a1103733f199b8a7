-- Full text over search_row without accents. `unaccent` is only STABLE since its rules can be
-- changed; with the dictionary named it is the same for ever, as the column `words` needs it, which the
-- migrations make by it (search_words).
CREATE EXTENSION IF NOT EXISTS unaccent;

CREATE OR REPLACE FUNCTION plain_words(text) RETURNS text
  LANGUAGE sql IMMUTABLE PARALLEL SAFE STRICT
  AS $$ SELECT public.unaccent('public.unaccent'::regdictionary, $1) $$;

-- Words and filters in one index: what several of them have in common is found within it. Each of the
-- eight parts keeps new rows in a list that every search reads through: an eighth of the usual 4 MB.
DROP INDEX IF EXISTS search_row_words;
CREATE INDEX IF NOT EXISTS search_row_found ON search_row USING gin (words, keys)
  WITH (gin_pending_list_limit = 512);
CREATE INDEX IF NOT EXISTS search_row_newest ON search_row (recorded_at DESC, row_id DESC);
