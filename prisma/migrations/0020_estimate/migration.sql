-- What a campaign will take, as the studio reckoned it on a day. Never in a dossier that is handed out.
CREATE TABLE "estimate" (
    "site_id" UUID NOT NULL,
    "estimate_id" UUID NOT NULL,
    "campaign_id" UUID NOT NULL,
    "title" TEXT NOT NULL,
    "stage" TEXT NOT NULL,
    "terms" JSONB NOT NULL,
    "alternatives" JSONB NOT NULL,
    "chosen" INTEGER NOT NULL,
    "written_by" UUID NOT NULL,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "estimate_pkey" PRIMARY KEY ("estimate_id")
);
CREATE INDEX "estimate_campaign_id_idx" ON "estimate"("campaign_id");
