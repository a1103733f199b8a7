-- What was done out of order, or not as agreed: a projection. A row stays open until a person answers it.
CREATE TABLE "flag" (
    "site_id" UUID NOT NULL,
    "flag_id" UUID NOT NULL,
    "campaign_id" UUID,
    "kind" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "said" JSONB NOT NULL,
    "state" TEXT NOT NULL,
    "raised_by" UUID NOT NULL,
    "raised_seq" BIGINT NOT NULL,
    "raised_at" TIMESTAMPTZ(3) NOT NULL,
    "answer" TEXT,
    "answered_by" UUID,
    "answered_seq" BIGINT,
    "answered_at" TIMESTAMPTZ(3),
    "version" BIGINT NOT NULL,

    CONSTRAINT "flag_pkey" PRIMARY KEY ("flag_id")
);
CREATE INDEX "flag_site_id_state_raised_seq_flag_id_idx" ON "flag"("site_id", "state", "raised_seq", "flag_id");
CREATE INDEX "flag_campaign_id_idx" ON "flag"("campaign_id");

-- One programme of work on a site, from survey to dossier.
CREATE TABLE "campaign" (
    "site_id" UUID NOT NULL,
    "campaign_id" UUID NOT NULL,
    "title" TEXT NOT NULL,
    "scope" TEXT[],
    "people" JSONB NOT NULL,
    "note" TEXT,
    "began" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "closed" TEXT,
    "closing" JSONB,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "campaign_pkey" PRIMARY KEY ("campaign_id")
);
CREATE INDEX "campaign_site_id_entry_seq_idx" ON "campaign"("site_id", "entry_seq");

-- What is proposed: a row an issue.
CREATE TABLE "proposal" (
    "site_id" UUID NOT NULL,
    "issue_id" UUID NOT NULL,
    "proposal_id" UUID NOT NULL,
    "issue" INTEGER NOT NULL,
    "campaign_id" UUID NOT NULL,
    "title" TEXT NOT NULL,
    "lines" JSONB NOT NULL,
    "digest" TEXT NOT NULL,
    "note" TEXT,
    "state" TEXT NOT NULL,
    "written_by" UUID NOT NULL,
    "sent_by" UUID,
    "sent_how" TEXT,
    "sent_to" TEXT,
    "sent" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "proposal_pkey" PRIMARY KEY ("issue_id")
);
CREATE UNIQUE INDEX "proposal_proposal_id_issue_key" ON "proposal"("proposal_id", "issue");
CREATE INDEX "proposal_campaign_id_idx" ON "proposal"("campaign_id");

-- Who allowed it, or refused: in the program or by letter.
CREATE TABLE "consent" (
    "site_id" UUID NOT NULL,
    "consent_id" UUID NOT NULL,
    "campaign_id" UUID NOT NULL,
    "proposal_id" UUID NOT NULL,
    "issue" INTEGER NOT NULL,
    "digest" TEXT NOT NULL,
    "decision" TEXT NOT NULL,
    "how" TEXT NOT NULL,
    "by_person_id" UUID,
    "by_text" TEXT,
    "for_whom" TEXT,
    "happened" TEXT NOT NULL,
    "expires" TEXT,
    "media_id" UUID,
    "line_numbers" INTEGER[],
    "conditions" JSONB NOT NULL,
    "is_one_person" BOOLEAN NOT NULL,
    "note" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "consent_pkey" PRIMARY KEY ("consent_id")
);
CREATE INDEX "consent_campaign_id_idx" ON "consent"("campaign_id");

-- The studio's materials, a row a batch.
CREATE TABLE "material" (
    "material_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "maker" TEXT,
    "batch" TEXT,
    "expires" TEXT,
    "unit" TEXT NOT NULL,
    "quantity" TEXT NOT NULL,
    "kept" TEXT,
    "note" TEXT,
    "state" TEXT NOT NULL,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "material_pkey" PRIMARY KEY ("material_id")
);

-- What was taken from a batch, and for which work.
CREATE TABLE "material_use" (
    "site_id" UUID NOT NULL,
    "intervention_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "material_id" UUID NOT NULL,
    "quantity" TEXT NOT NULL,

    CONSTRAINT "material_use_pkey" PRIMARY KEY ("intervention_id", "number")
);
CREATE INDEX "material_use_material_id_idx" ON "material_use"("material_id");

-- Time that work took. Beside the work itself, since it is not handed out.
CREATE TABLE "work_time" (
    "site_id" UUID NOT NULL,
    "work_time_id" UUID NOT NULL,
    "campaign_id" UUID NOT NULL,
    "intervention_id" UUID,
    "person_id" UUID NOT NULL,
    "task" TEXT NOT NULL,
    "minutes" INTEGER NOT NULL,
    "happened" TEXT NOT NULL,
    "note" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "work_time_pkey" PRIMARY KEY ("work_time_id")
);
CREATE INDEX "work_time_campaign_id_idx" ON "work_time"("campaign_id");

-- A person's name under a version of a panel's treatment record.
CREATE TABLE "treatment_signature" (
    "site_id" UUID NOT NULL,
    "signature_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "record_version" TEXT NOT NULL,
    "digest" TEXT NOT NULL,
    "size_bytes" BIGINT NOT NULL,
    "signed_by" UUID NOT NULL,
    "qualification" TEXT,
    "happened" TEXT NOT NULL,
    "note" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "treatment_signature_pkey" PRIMARY KEY ("signature_id")
);
CREATE INDEX "treatment_signature_panel_id_idx" ON "treatment_signature"("panel_id");

ALTER TABLE "intervention" ADD COLUMN "campaign_id" UUID,
    ADD COLUMN "consent_id" UUID,
    ADD COLUMN "materials" JSONB,
    ADD COLUMN "reason" TEXT,
    ADD COLUMN "worker_id" UUID;
CREATE INDEX "intervention_campaign_id_idx" ON "intervention"("campaign_id");
