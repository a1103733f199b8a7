-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "log" (
    "log_id" TEXT NOT NULL,
    "origin" TEXT NOT NULL,
    "site_id" UUID,
    "size" BIGINT NOT NULL DEFAULT 0,
    "root_hash" BYTEA NOT NULL,
    "last_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "log_pkey" PRIMARY KEY ("log_id")
);

-- CreateTable
CREATE TABLE "log_node" (
    "log_id" TEXT NOT NULL,
    "level" INTEGER NOT NULL,
    "index" BIGINT NOT NULL,
    "hash" BYTEA NOT NULL,

    CONSTRAINT "log_node_pkey" PRIMARY KEY ("log_id","level","index")
);

-- CreateTable
CREATE TABLE "entry" (
    "log_id" TEXT NOT NULL,
    "seq" BIGINT NOT NULL,
    "type" TEXT NOT NULL,
    "subject" TEXT,
    "actor_id" UUID NOT NULL,
    "happened" TEXT,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "bytes" BYTEA NOT NULL,
    "leaf_hash" BYTEA NOT NULL,

    CONSTRAINT "entry_pkey" PRIMARY KEY ("log_id","seq")
);

-- CreateTable
CREATE TABLE "checkpoint" (
    "log_id" TEXT NOT NULL,
    "size" BIGINT NOT NULL,
    "note" TEXT NOT NULL,
    "signed_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "checkpoint_pkey" PRIMARY KEY ("log_id","size")
);

-- CreateTable
CREATE TABLE "stored_object" (
    "digest" TEXT NOT NULL,
    "size_bytes" BIGINT NOT NULL,
    "role" TEXT NOT NULL,
    "first_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "stored_object_pkey" PRIMARY KEY ("digest")
);

-- CreateTable
CREATE TABLE "idempotency" (
    "actor_id" UUID NOT NULL,
    "key" TEXT NOT NULL,
    "request_digest" TEXT NOT NULL,
    "status" INTEGER NOT NULL,
    "answer" JSONB NOT NULL,
    "kept_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "idempotency_pkey" PRIMARY KEY ("actor_id","key")
);

-- CreateTable
CREATE TABLE "person" (
    "person_id" UUID NOT NULL,
    "login" TEXT NOT NULL,
    "display_name" TEXT NOT NULL,
    "password_hash" TEXT,
    "disabled" BOOLEAN NOT NULL DEFAULT false,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "person_pkey" PRIMARY KEY ("person_id")
);

-- CreateTable
CREATE TABLE "role_grant" (
    "grant_id" UUID NOT NULL,
    "site_id" UUID,
    "person_id" UUID NOT NULL,
    "role" TEXT NOT NULL,

    CONSTRAINT "role_grant_pkey" PRIMARY KEY ("grant_id")
);

-- CreateTable
CREATE TABLE "session" (
    "token_digest" TEXT NOT NULL,
    "person_id" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "session_pkey" PRIMARY KEY ("token_digest")
);

-- CreateTable
CREATE TABLE "api_token" (
    "token_digest" TEXT NOT NULL,
    "token_id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "label" TEXT NOT NULL,
    "scope" TEXT[],
    "site_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "api_token_pkey" PRIMARY KEY ("token_digest")
);

-- CreateTable
CREATE TABLE "site" (
    "site_id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "unit" TEXT,
    "name" TEXT NOT NULL,
    "scheme" TEXT NOT NULL,
    "place" TEXT,
    "version" BIGINT NOT NULL,
    "added_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "site_pkey" PRIMARY KEY ("site_id")
);

-- CreateTable
CREATE TABLE "window" (
    "site_id" UUID NOT NULL,
    "window_id" UUID NOT NULL,
    "mark" TEXT NOT NULL,
    "sort_key" TEXT NOT NULL,
    "title" TEXT NOT NULL,
    "drawing" JSONB NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "window_pkey" PRIMARY KEY ("window_id")
);

-- CreateTable
CREATE TABLE "panel" (
    "site_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "window_id" UUID NOT NULL,
    "mark" TEXT NOT NULL,
    "sort_key" TEXT NOT NULL,
    "ring_mm" DOUBLE PRECISION[],
    "sizes" JSONB NOT NULL,
    "work_state" TEXT NOT NULL DEFAULT 'in-place',
    "shows" TEXT,
    "net_revision" INTEGER,
    "signed_revision" INTEGER,
    "retired" BOOLEAN NOT NULL DEFAULT false,
    "version" BIGINT NOT NULL,

    CONSTRAINT "panel_pkey" PRIMARY KEY ("panel_id")
);

-- CreateTable
CREATE TABLE "piece" (
    "site_id" UUID NOT NULL,
    "piece_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "mark" TEXT NOT NULL,
    "sort_key" TEXT NOT NULL,
    "provisional" BOOLEAN NOT NULL,
    "ring_mm" DOUBLE PRECISION[],
    "area_mm2" DOUBLE PRECISION NOT NULL,
    "shows" TEXT,
    "glass" TEXT,
    "carried_to" UUID,
    "retired" BOOLEAN NOT NULL DEFAULT false,
    "version" BIGINT NOT NULL,

    CONSTRAINT "piece_pkey" PRIMARY KEY ("piece_id")
);

-- CreateTable
CREATE TABLE "alias" (
    "site_id" UUID NOT NULL,
    "alias_id" UUID NOT NULL,
    "mark" TEXT NOT NULL,
    "scheme" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "source" TEXT NOT NULL,

    CONSTRAINT "alias_pkey" PRIMARY KEY ("alias_id")
);

-- CreateTable
CREATE TABLE "media" (
    "site_id" UUID NOT NULL,
    "media_id" UUID NOT NULL,
    "digest" TEXT NOT NULL,
    "file_name" TEXT NOT NULL,
    "content_type" TEXT NOT NULL,
    "size_bytes" BIGINT NOT NULL,
    "width_px" INTEGER,
    "height_px" INTEGER,
    "kind" TEXT NOT NULL,
    "light" JSONB,
    "stage" TEXT NOT NULL,
    "face" TEXT,
    "layer" TEXT,
    "subjects" TEXT[],
    "author" TEXT,
    "happened" TEXT,
    "note" TEXT,
    "exif" JSONB,
    "as_received" BOOLEAN NOT NULL DEFAULT false,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "media_pkey" PRIMARY KEY ("media_id")
);

-- CreateTable
CREATE TABLE "derivative" (
    "source_digest" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "digest" TEXT NOT NULL,
    "size_bytes" BIGINT NOT NULL,
    "width_px" INTEGER,
    "height_px" INTEGER,
    "provenance" JSONB NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "derivative_pkey" PRIMARY KEY ("source_digest","kind")
);

-- CreateTable
CREATE TABLE "upload" (
    "upload_id" TEXT NOT NULL,
    "person_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "length_bytes" BIGINT NOT NULL,
    "offset_bytes" BIGINT NOT NULL DEFAULT 0,
    "metadata" JSONB NOT NULL,
    "started_at" TIMESTAMPTZ(3) NOT NULL,
    "media_id" UUID,

    CONSTRAINT "upload_pkey" PRIMARY KEY ("upload_id")
);

-- CreateTable
CREATE TABLE "rubbing" (
    "site_id" UUID NOT NULL,
    "rubbing_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "conditions" JSONB NOT NULL,
    "sheet" JSONB,
    "happened" TEXT,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "rubbing_pkey" PRIMARY KEY ("rubbing_id")
);

-- CreateTable
CREATE TABLE "net_revision" (
    "site_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "revision" INTEGER NOT NULL,
    "rubbing_id" UUID,
    "media_id" UUID,
    "object_digest" TEXT NOT NULL,
    "face" TEXT NOT NULL,
    "layer" TEXT NOT NULL,
    "surface" TEXT NOT NULL,
    "made_by" TEXT NOT NULL,
    "media_ids" UUID[],
    "note" TEXT,
    "change" TEXT,
    "reading" JSONB,
    "summary" JSONB NOT NULL,
    "signed_at" TIMESTAMPTZ(3),
    "signed_by" UUID,
    "signed_doubts" INTEGER,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "net_revision_pkey" PRIMARY KEY ("panel_id","revision")
);

-- CreateTable
CREATE TABLE "lens_calibration" (
    "site_id" UUID NOT NULL,
    "calibration_id" UUID NOT NULL,
    "media_id" UUID NOT NULL,
    "camera" TEXT NOT NULL,
    "focal_length_mm" DOUBLE PRECISION NOT NULL,
    "width_px" INTEGER NOT NULL,
    "height_px" INTEGER NOT NULL,
    "k1" DOUBLE PRECISION NOT NULL,
    "k2" DOUBLE PRECISION NOT NULL,
    "sigma_k1" DOUBLE PRECISION NOT NULL,
    "tags" INTEGER NOT NULL,
    "rms_px" DOUBLE PRECISION NOT NULL,
    "reach" DOUBLE PRECISION NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "lens_calibration_pkey" PRIMARY KEY ("calibration_id")
);

-- CreateTable
CREATE TABLE "placement" (
    "site_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "media_id" UUID NOT NULL,
    "image_from_panel" DOUBLE PRECISION[],
    "points" JSONB NOT NULL,
    "rms_mm" DOUBLE PRECISION NOT NULL,
    "source" TEXT NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "placement_pkey" PRIMARY KEY ("panel_id","media_id")
);

-- CreateTable
CREATE TABLE "finding" (
    "site_id" UUID NOT NULL,
    "finding_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "in_panel" TEXT,
    "term" TEXT NOT NULL,
    "geometry" JSONB NOT NULL,
    "measure" JSONB NOT NULL,
    "face" TEXT NOT NULL,
    "layer" TEXT NOT NULL,
    "net_revision" INTEGER,
    "evidence" TEXT[],
    "author_id" UUID NOT NULL,
    "happened" TEXT,
    "note" TEXT,
    "state" TEXT NOT NULL,
    "superseded_by" UUID,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "finding_pkey" PRIMARY KEY ("finding_id")
);

-- CreateTable
CREATE TABLE "intervention" (
    "site_id" UUID NOT NULL,
    "intervention_id" UUID NOT NULL,
    "subjects" TEXT[],
    "operation" TEXT NOT NULL,
    "material" TEXT,
    "detail" JSONB,
    "by_role" TEXT,
    "by_text" TEXT,
    "happened" TEXT,
    "images" TEXT[],
    "note" TEXT,
    "evidence" TEXT,
    "state" TEXT NOT NULL,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "intervention_pkey" PRIMARY KEY ("intervention_id")
);

-- CreateTable
CREATE TABLE "dossier" (
    "site_id" UUID NOT NULL,
    "dossier_id" UUID NOT NULL,
    "subject" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "job_id" TEXT,
    "digest" TEXT,
    "size_bytes" BIGINT,
    "asked_by" UUID NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "made_at" TIMESTAMPTZ(3),
    "problem" TEXT,

    CONSTRAINT "dossier_pkey" PRIMARY KEY ("dossier_id")
);

-- CreateTable
CREATE TABLE "search_row" (
    "site_id" UUID NOT NULL,
    "row_id" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "window_mark" TEXT,
    "stage" TEXT,
    "happened" TEXT,
    "happened_from" DATE,
    "title" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "search_row_pkey" PRIMARY KEY ("site_id","kind","row_id")
);

-- CreateTable
CREATE TABLE "job_progress" (
    "job_id" TEXT NOT NULL,
    "site_id" UUID,
    "queue" TEXT NOT NULL,
    "subject" TEXT,
    "state" TEXT NOT NULL,
    "stage" TEXT,
    "ratio" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "result" JSONB,
    "problem" JSONB,
    "asked_by" UUID NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "changed_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "job_progress_pkey" PRIMARY KEY ("job_id")
);

-- CreateIndex
CREATE UNIQUE INDEX "log_origin_key" ON "log"("origin");

-- CreateIndex
CREATE UNIQUE INDEX "log_site_id_key" ON "log"("site_id");

-- CreateIndex
CREATE INDEX "entry_log_id_subject_idx" ON "entry"("log_id", "subject");

-- CreateIndex
CREATE UNIQUE INDEX "person_login_key" ON "person"("login");

-- CreateIndex
CREATE INDEX "role_grant_person_id_idx" ON "role_grant"("person_id");

-- CreateIndex
CREATE INDEX "session_person_id_idx" ON "session"("person_id");

-- CreateIndex
CREATE UNIQUE INDEX "api_token_token_id_key" ON "api_token"("token_id");

-- CreateIndex
CREATE UNIQUE INDEX "site_code_unit_key" ON "site"("code", "unit");

-- CreateIndex
CREATE UNIQUE INDEX "window_site_id_mark_key" ON "window"("site_id", "mark");

-- CreateIndex
CREATE INDEX "panel_site_id_idx" ON "panel"("site_id");

-- CreateIndex
CREATE UNIQUE INDEX "panel_window_id_mark_key" ON "panel"("window_id", "mark");

-- CreateIndex
CREATE INDEX "piece_panel_id_idx" ON "piece"("panel_id");

-- CreateIndex
CREATE INDEX "piece_site_id_idx" ON "piece"("site_id");

-- CreateIndex
CREATE INDEX "alias_site_id_idx" ON "alias"("site_id");

-- CreateIndex
CREATE INDEX "media_site_id_recorded_at_media_id_idx" ON "media"("site_id", "recorded_at", "media_id");

-- CreateIndex
CREATE INDEX "media_digest_idx" ON "media"("digest");

-- CreateIndex
CREATE INDEX "rubbing_panel_id_idx" ON "rubbing"("panel_id");

-- CreateIndex
CREATE INDEX "net_revision_site_id_idx" ON "net_revision"("site_id");

-- CreateIndex
CREATE INDEX "lens_calibration_camera_focal_length_mm_idx" ON "lens_calibration"("camera", "focal_length_mm");

-- CreateIndex
CREATE INDEX "lens_calibration_site_id_idx" ON "lens_calibration"("site_id");

-- CreateIndex
CREATE INDEX "placement_site_id_idx" ON "placement"("site_id");

-- CreateIndex
CREATE INDEX "finding_panel_id_idx" ON "finding"("panel_id");

-- CreateIndex
CREATE INDEX "finding_site_id_recorded_at_finding_id_idx" ON "finding"("site_id", "recorded_at", "finding_id");

-- CreateIndex
CREATE INDEX "intervention_site_id_recorded_at_intervention_id_idx" ON "intervention"("site_id", "recorded_at", "intervention_id");

-- CreateIndex
CREATE INDEX "dossier_site_id_idx" ON "dossier"("site_id");

-- 10-append-only.sql
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
  FOREACH t IN ARRAY ARRAY['entry', 'log_node', 'checkpoint', 'stored_object'] LOOP
    EXECUTE format('DROP TRIGGER IF EXISTS append_only ON %I', t);
    EXECUTE format('CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON %I
                    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()', t);
  END LOOP;
END $$;

-- The head of a log moves forward only, and never to another origin.
CREATE OR REPLACE FUNCTION only_forward() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.log_id <> OLD.log_id OR NEW.origin <> OLD.origin OR NEW.site_id IS DISTINCT FROM OLD.site_id
     OR NEW.size <= OLD.size OR NEW.last_at < OLD.last_at THEN
    RAISE EXCEPTION 'log % moves forward only', OLD.log_id USING ERRCODE = 'insufficient_privilege';
  END IF;
  RETURN NEW;
END $$;

DROP TRIGGER IF EXISTS only_forward ON log;
CREATE TRIGGER only_forward BEFORE UPDATE ON log FOR EACH ROW EXECUTE FUNCTION only_forward();
DROP TRIGGER IF EXISTS append_only ON log;
CREATE TRIGGER append_only BEFORE DELETE OR TRUNCATE ON log
  FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

-- 20-grants.sql
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

  FOREACH t IN ARRAY ARRAY['log', 'entry', 'log_node', 'checkpoint', 'stored_object'] LOOP
    EXECUTE format('GRANT INSERT ON %I TO %I', t, app);
  END LOOP;
  EXECUTE format('GRANT UPDATE (size, root_hash, last_at) ON log TO %I', app);

  FOR t IN
    SELECT tablename FROM pg_tables
    WHERE schemaname = 'public'
      AND tablename NOT IN ('log', 'entry', 'log_node', 'checkpoint', 'stored_object')
      AND tablename NOT LIKE '\_prisma%'
  LOOP
    EXECUTE format('GRANT INSERT, UPDATE, DELETE ON %I TO %I', t, app);
  END LOOP;

  -- pg-boss keeps its queue in a schema of its own, made by the application's role.
  EXECUTE format('GRANT CREATE, CONNECT ON DATABASE %I TO %I', current_database(), app);
END $$;

-- 30-search.sql
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

CREATE INDEX IF NOT EXISTS search_row_words ON search_row USING gin (words);
CREATE INDEX IF NOT EXISTS search_row_newest ON search_row (recorded_at DESC, row_id DESC);
