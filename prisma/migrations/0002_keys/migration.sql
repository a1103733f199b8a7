-- The key that a log is in the hands of, and what the logs tell of their keys.
ALTER TABLE "log" ADD COLUMN "signing_key" TEXT;

-- CreateTable
CREATE TABLE "key_event" (
    "log_id" TEXT NOT NULL,
    "seq" BIGINT NOT NULL,
    "kind" TEXT NOT NULL,
    "fingerprint" TEXT NOT NULL,
    "successor" TEXT,
    "sealing" TEXT,
    "from_fingerprint" TEXT,
    "signed_by" TEXT,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "key_event_pkey" PRIMARY KEY ("log_id","seq")
);
