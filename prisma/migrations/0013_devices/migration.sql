-- Phones that were paired: a projection of the studio's log, and the sessions and codes that belong to them.
CREATE TABLE "device" (
    "device_id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "site_id" UUID,
    "role" TEXT NOT NULL,
    "paired_at" TIMESTAMPTZ(3) NOT NULL,
    "ended_at" TIMESTAMPTZ(3),
    "version" BIGINT NOT NULL,

    CONSTRAINT "device_pkey" PRIMARY KEY ("device_id")
);
CREATE INDEX "device_person_id_idx" ON "device"("person_id");

CREATE TABLE "pairing" (
    "secret_digest" TEXT NOT NULL,
    "pairing_id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "site_id" UUID,
    "role" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "device_id" UUID,

    CONSTRAINT "pairing_pkey" PRIMARY KEY ("secret_digest")
);
CREATE UNIQUE INDEX "pairing_pairing_id_key" ON "pairing"("pairing_id");

ALTER TABLE "session" ADD COLUMN "device_id" UUID;
