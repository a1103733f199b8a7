-- What is written in the ledger stays: no UPDATE, DELETE or TRUNCATE, whoever asks. Run by the owner
-- of the tables after the migrations; may be run again. The application's role gets no such right
-- either (20-grants.sql); the triggers stand for the case that a grant is given by mistake.
CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '% is append-only: % refused', TG_TABLE_NAME, TG_OP
    USING ERRCODE = 'insufficient_privilege',
          HINT = 'A correction is a new entry that supersedes the old one.';
END $$;

DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['entry', 'log_tile', 'checkpoint', 'stored_object', 'restore_mark'] LOOP
    EXECUTE format('DROP TRIGGER IF EXISTS append_only ON %I', t);
    EXECUTE format('CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON %I
                    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()', t);
  END LOOP;
END $$;

-- The head of a log moves forward only, and never to another origin.
CREATE OR REPLACE FUNCTION only_forward() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.log_id <> OLD.log_id OR NEW.origin <> OLD.origin OR NEW.epoch <> OLD.epoch OR NEW.site_id IS DISTINCT FROM OLD.site_id
     OR NEW.size <= OLD.size OR NEW.last_at < OLD.last_at THEN
    RAISE EXCEPTION 'log % moves forward only', OLD.log_id USING ERRCODE = 'insufficient_privilege';
  END IF;
  IF EXISTS (SELECT 1 FROM log later WHERE coalesce(later.site_id::text, 'studio') = coalesce(OLD.site_id::text, 'studio')
             AND later.epoch > OLD.epoch) THEN
    RAISE EXCEPTION 'log % is closed: a later epoch is open', OLD.log_id USING ERRCODE = 'insufficient_privilege';
  END IF;
  RETURN NEW;
END $$;

DROP TRIGGER IF EXISTS only_forward ON log;
CREATE TRIGGER only_forward BEFORE UPDATE ON log FOR EACH ROW EXECUTE FUNCTION only_forward();
DROP TRIGGER IF EXISTS append_only ON log;
CREATE TRIGGER append_only BEFORE DELETE OR TRUNCATE ON log
  FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
