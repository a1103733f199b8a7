-- Surveys of windows, tests, readings of how far panels stand out, and what panels are made of: projections.
CREATE TABLE "survey" (
    "site_id" UUID NOT NULL,
    "survey_id" UUID NOT NULL,
    "window_id" UUID NOT NULL,
    "said" JSONB NOT NULL,
    "panels" JSONB NOT NULL,
    "next_inspection" TEXT,
    "observer_id" UUID NOT NULL,
    "happened" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "withdrawn_seq" BIGINT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "survey_pkey" PRIMARY KEY ("survey_id")
);
CREATE INDEX "survey_window_id_idx" ON "survey"("window_id");
CREATE INDEX "survey_site_id_entry_seq_idx" ON "survey"("site_id", "entry_seq");

ALTER TABLE "condition" ADD COLUMN "survey_id" UUID;
ALTER TABLE "condition" ADD COLUMN "urgency" INTEGER;
ALTER TABLE "condition" ADD COLUMN "recommendation" INTEGER;
CREATE INDEX "condition_survey_id_idx" ON "condition"("survey_id");

CREATE TABLE "test" (
    "site_id" UUID NOT NULL,
    "test_id" UUID NOT NULL,
    "subject" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "place" TEXT NOT NULL,
    "method" TEXT NOT NULL,
    "by_role" TEXT,
    "sample" TEXT,
    "images" UUID[] NOT NULL,
    "happened" TEXT NOT NULL,
    "outcome" TEXT,
    "result" TEXT,
    "known_on" TEXT,
    "evidence" UUID[] NOT NULL,
    "tester_id" UUID NOT NULL,
    "state" TEXT NOT NULL,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "test_pkey" PRIMARY KEY ("test_id")
);
CREATE INDEX "test_site_id_subject_idx" ON "test"("site_id", "subject");

CREATE TABLE "deflection" (
    "site_id" UUID NOT NULL,
    "deflection_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "datum" TEXT NOT NULL,
    "face" TEXT NOT NULL,
    "noise_mm" DOUBLE PRECISION NOT NULL,
    "readings" JSONB NOT NULL,
    "figures" JSONB NOT NULL,
    "note" TEXT,
    "observer_id" UUID NOT NULL,
    "happened" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "withdrawn_seq" BIGINT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "deflection_pkey" PRIMARY KEY ("deflection_id")
);
CREATE INDEX "deflection_panel_id_idx" ON "deflection"("panel_id");

CREATE TABLE "panel_materials" (
    "site_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "said" JSONB NOT NULL,
    "happened" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "panel_materials_pkey" PRIMARY KEY ("panel_id")
);
CREATE INDEX "panel_materials_site_id_idx" ON "panel_materials"("site_id");
