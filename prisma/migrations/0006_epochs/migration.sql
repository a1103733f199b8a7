-- Epochs: a restore older than a known checkpoint never forks a log. The log of a site (or the studio's)
-- closes, and the next epoch of it opens with an origin of its own.
ALTER TABLE "log" ADD COLUMN "epoch" INTEGER NOT NULL DEFAULT 1;
DROP INDEX "log_site_id_key";
CREATE UNIQUE INDEX "log_site_id_epoch_key" ON "log" (coalesce("site_id"::text, 'studio'), "epoch");

-- How far each log came back in a restore: what stood beyond is the lost range, once it is known.
CREATE TABLE "restore_mark" (
    "log_id" TEXT NOT NULL,
    "size" BIGINT NOT NULL,
    "generation" TEXT NOT NULL,
    "restored_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "restore_mark_pkey" PRIMARY KEY ("log_id", "restored_at")
);

-- Backups that were made, and for whom their sealed part is sealed.
CREATE TABLE "backup_run" (
    "generation" TEXT NOT NULL,
    "place" TEXT NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "second_disk" BOOLEAN NOT NULL,
    "objects" INTEGER NOT NULL,
    "size_bytes" BIGINT NOT NULL,
    "absent" INTEGER NOT NULL,

    CONSTRAINT "backup_run_pkey" PRIMARY KEY ("place", "generation")
);

CREATE TABLE "backup_recipient" (
    "kind" TEXT NOT NULL,
    "recipient" JSONB NOT NULL,
    "set_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "backup_recipient_pkey" PRIMARY KEY ("kind")
);
