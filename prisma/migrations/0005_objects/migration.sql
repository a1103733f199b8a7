-- Scrubs that ended, as the studio's log tells them.
CREATE TABLE "scrub" (
    "scrub_id" UUID NOT NULL,
    "started_at" TIMESTAMPTZ(3) NOT NULL,
    "ended_at" TIMESTAMPTZ(3) NOT NULL,
    "stores" TEXT[],
    "objects" BIGINT NOT NULL,
    "size_bytes" BIGINT NOT NULL,
    "checkpoints" BIGINT NOT NULL,
    "troubles" INTEGER NOT NULL,
    "mended" INTEGER NOT NULL,
    "report" TEXT NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "scrub_pkey" PRIMARY KEY ("scrub_id")
);

-- The scrub that is under way: where it stands, so that it goes on from there after any interruption.
CREATE TABLE "scrub_run" (
    "run" TEXT NOT NULL,
    "scrub_id" UUID NOT NULL,
    "started_at" TIMESTAMPTZ(3) NOT NULL,
    "after_digest" TEXT,
    "found" JSONB NOT NULL,
    "holder" UUID NOT NULL,
    "touched_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "scrub_run_pkey" PRIMARY KEY ("run")
);
