-- How one piece is made: its glasses, what was laid on and taken off them, and the glass before.
CREATE TABLE "piece_technique" (
    "site_id" UUID NOT NULL,
    "piece_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "said" JSONB NOT NULL,
    "happened" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "piece_technique_pkey" PRIMARY KEY ("piece_id")
);
CREATE INDEX "piece_technique_panel_id_idx" ON "piece_technique"("panel_id");
