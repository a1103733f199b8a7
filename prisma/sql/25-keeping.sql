-- Rights of the application's role in the schema of what can be forgotten (name as in 20-grants.sql).
-- A key is made and destroyed, never changed. May be run again after every migration.
DO $$
DECLARE
  app text := coalesce(nullif(current_setting('mullion.app_role', true), ''), 'mullion_app');
BEGIN
  EXECUTE format('GRANT USAGE ON SCHEMA keeping TO %I', app);
  EXECUTE format('REVOKE ALL ON keeping.subject_key, keeping.credential, keeping.person_before FROM %I', app);
  EXECUTE format('GRANT SELECT, INSERT, DELETE ON keeping.subject_key TO %I', app);
  EXECUTE format('GRANT SELECT, INSERT, UPDATE, DELETE ON keeping.credential TO %I', app);
  EXECUTE format('GRANT SELECT, DELETE ON keeping.person_before TO %I', app);
END $$;
