-- Custody: crates, movements, changes of hands, and the steps between opening and opening. Projections.
CREATE TABLE "crate" (
    "site_id" UUID NOT NULL,
    "crate_id" UUID NOT NULL,
    "mark" TEXT NOT NULL,
    "slots" INTEGER NOT NULL,
    "limits" JSONB NOT NULL,
    "note" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "crate_pkey" PRIMARY KEY ("crate_id")
);
CREATE UNIQUE INDEX "crate_site_id_mark_key" ON "crate"("site_id", "mark");

CREATE TABLE "movement" (
    "site_id" UUID NOT NULL,
    "movement_id" UUID NOT NULL,
    "things" TEXT[],
    "crates" UUID[],
    "from_crate_id" UUID,
    "to_place" JSONB NOT NULL,
    "slots" JSONB NOT NULL,
    "holder_name" TEXT,
    "why" TEXT,
    "temporary" BOOLEAN NOT NULL,
    "expected_return" TEXT,
    "happened" TEXT,
    "state" TEXT NOT NULL,
    "withdrawn_seq" BIGINT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "movement_pkey" PRIMARY KEY ("movement_id")
);
CREATE INDEX "movement_site_id_entry_seq_idx" ON "movement"("site_id", "entry_seq");
CREATE INDEX "movement_things_idx" ON "movement" USING gin ("things");

CREATE TABLE "handover" (
    "site_id" UUID NOT NULL,
    "handover_id" UUID NOT NULL,
    "movement_id" UUID NOT NULL,
    "side" TEXT NOT NULL,
    "by_person" UUID NOT NULL,
    "by_role" TEXT,
    "by_name" TEXT,
    "paper" UUID,
    "seen" JSONB NOT NULL,
    "unpacked_to" JSONB,
    "note" TEXT,
    "happened" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "handover_pkey" PRIMARY KEY ("handover_id")
);
CREATE INDEX "handover_movement_id_idx" ON "handover"("movement_id");
CREATE INDEX "handover_site_id_entry_seq_idx" ON "handover"("site_id", "entry_seq");

CREATE TABLE "work_step" (
    "site_id" UUID NOT NULL,
    "step_id" UUID NOT NULL,
    "window_id" UUID NOT NULL,
    "panel_id" UUID,
    "marks" TEXT[],
    "kind" TEXT NOT NULL,
    "detail" JSONB NOT NULL,
    "images" UUID[],
    "by_person" UUID NOT NULL,
    "happened" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "work_step_pkey" PRIMARY KEY ("step_id")
);
CREATE INDEX "work_step_panel_id_idx" ON "work_step"("panel_id");
CREATE INDEX "work_step_window_id_entry_seq_idx" ON "work_step"("window_id", "entry_seq");
