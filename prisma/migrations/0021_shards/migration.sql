-- How the shards of a broken piece may lie together, as the worker was asked and as a person keeps it: projections.
CREATE TABLE "assembly" (
    "site_id" UUID NOT NULL,
    "assembly_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "piece" TEXT NOT NULL,
    "net_revision" INTEGER,
    "asked" JSONB NOT NULL,
    "job_id" UUID NOT NULL,
    "proposal_digest" TEXT,
    "asked_by" UUID NOT NULL,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "assembly_pkey" PRIMARY KEY ("assembly_id")
);
CREATE INDEX "assembly_panel_id_piece_idx" ON "assembly"("panel_id", "piece");

CREATE TABLE "joining" (
    "site_id" UUID NOT NULL,
    "joining_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "piece" TEXT NOT NULL,
    "assembly_id" UUID NOT NULL,
    "laid" JSONB NOT NULL,
    "apart" JSONB NOT NULL,
    "gap_mm" DOUBLE PRECISION NOT NULL,
    "joints" JSONB NOT NULL,
    "joint_mm" DOUBLE PRECISION NOT NULL,
    "missing" JSONB NOT NULL,
    "missing_mm2" DOUBLE PRECISION NOT NULL,
    "coverage_ratio" DOUBLE PRECISION,
    "note" TEXT,
    "kept_by" UUID NOT NULL,
    "happened" TEXT,
    "state" TEXT NOT NULL,
    "withdrawn_seq" BIGINT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "joining_pkey" PRIMARY KEY ("joining_id")
);
CREATE INDEX "joining_panel_id_piece_idx" ON "joining"("panel_id", "piece");
