-- Condition classes of panels: a projection. Each row is what one person said on one day.
CREATE TABLE "condition" (
    "site_id" UUID NOT NULL,
    "condition_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "condition_class" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "observer_id" UUID NOT NULL,
    "happened" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "withdrawn_seq" BIGINT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "condition_pkey" PRIMARY KEY ("condition_id")
);
CREATE INDEX "condition_panel_id_idx" ON "condition"("panel_id");
CREATE INDEX "condition_site_id_entry_seq_idx" ON "condition"("site_id", "entry_seq");
