-- Rights of the application's role. Its name: SET mullion.app_role = '…' before, else mullion_app.
-- May be run again after every migration.
DO $$
DECLARE
  app text := coalesce(nullif(current_setting('mullion.app_role', true), ''), 'mullion_app');
  t text;
BEGIN
  EXECUTE format('REVOKE ALL ON ALL TABLES IN SCHEMA public FROM %I', app);
  EXECUTE format('GRANT USAGE ON SCHEMA public TO %I', app);
  EXECUTE format('GRANT SELECT ON ALL TABLES IN SCHEMA public TO %I', app);

  FOREACH t IN ARRAY ARRAY['log', 'entry', 'log_tile', 'checkpoint', 'stored_object', 'restore_mark'] LOOP
    EXECUTE format('GRANT INSERT ON %I TO %I', t, app);
  END LOOP;
  EXECUTE format('GRANT UPDATE (size, root_hash, last_at, signing_key) ON log TO %I', app);

  FOR t IN
    SELECT tablename FROM pg_tables
    WHERE schemaname = 'public'
      AND tablename NOT IN ('log', 'entry', 'log_tile', 'checkpoint', 'stored_object', 'restore_mark')
      AND tablename NOT LIKE '\_prisma%'
  LOOP
    EXECUTE format('GRANT INSERT, UPDATE, DELETE ON %I TO %I', t, app);
  END LOOP;

  -- pg-boss keeps its queue in a schema of its own, made by the application's role.
  EXECUTE format('GRANT CREATE, CONNECT ON DATABASE %I TO %I', current_database(), app);
END $$;
