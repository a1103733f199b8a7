-- A backup that could not be made: one row a place, until one succeeds there.
CREATE TABLE "backup_trouble" (
    "place" TEXT NOT NULL,
    "says" TEXT NOT NULL,
    "since" TIMESTAMPTZ(3) NOT NULL,
    "tried_at" TIMESTAMPTZ(3) NOT NULL,
    "failures" INTEGER NOT NULL,

    CONSTRAINT "backup_trouble_pkey" PRIMARY KEY ("place")
);

-- Restores out of a place of backups, as the place tells: the drill.
CREATE TABLE "backup_drill" (
    "place" TEXT NOT NULL,
    "restored_at" TIMESTAMPTZ(3) NOT NULL,
    "generation" TEXT NOT NULL,
    "opened_with" TEXT NOT NULL,

    CONSTRAINT "backup_drill_pkey" PRIMARY KEY ("place", "restored_at")
);
