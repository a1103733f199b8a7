-- What is known of a place beside anybody's work on it: who keeps it, how it is protected, when and by whom it was made.
CREATE TABLE "background" (
    "site_id" UUID NOT NULL,
    "mark" TEXT NOT NULL,
    "said" JSONB NOT NULL,
    "said_by" UUID NOT NULL,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "background_pkey" PRIMARY KEY ("site_id", "mark")
);
