-- What others signed, what was signed for others, and alarms are kept as they came. After
-- 20-grants.sql, which gives the application every right on what it does not name.
DO $$
DECLARE
  app text := coalesce(nullif(current_setting('mullion.app_role', true), ''), 'mullion_app');
  t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['witnessed_checkpoint', 'cosignature', 'witness_alarm', 'time_token'] LOOP
    EXECUTE format('REVOKE UPDATE, DELETE, TRUNCATE ON %I FROM %I', t, app);
    EXECUTE format('DROP TRIGGER IF EXISTS append_only ON %I', t);
    EXECUTE format('CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON %I
                    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()', t);
  END LOOP;
END $$;
