-- What must be forgotten when somebody asks for it stands in a schema of its own: keys of personal
-- fields, password hashes, names of before personal fields were sealed. Nothing here is a projection.
CREATE SCHEMA IF NOT EXISTS "keeping";

-- One key a person or name. Entries hold ciphertext only; without the key nobody reads it again.
CREATE TABLE "keeping"."subject_key" (
  "subject_id" UUID NOT NULL,
  "key" BYTEA NOT NULL CHECK (octet_length("key") = 32),
  "name" TEXT NOT NULL,
  "made_at" TIMESTAMPTZ(3) NOT NULL,
  CONSTRAINT "subject_key_pkey" PRIMARY KEY ("subject_id")
);
CREATE INDEX "subject_key_name_idx" ON "keeping"."subject_key" ("name");

CREATE TABLE "keeping"."credential" (
  "person_id" UUID NOT NULL,
  "password_hash" TEXT NOT NULL,
  CONSTRAINT "credential_pkey" PRIMARY KEY ("person_id")
);

CREATE TABLE "keeping"."person_before" (
  "person_id" UUID NOT NULL,
  "login" TEXT NOT NULL,
  "display_name" TEXT NOT NULL,
  CONSTRAINT "person_before_pkey" PRIMARY KEY ("person_id")
);

INSERT INTO "keeping"."credential" SELECT "person_id", "password_hash" FROM "person" WHERE "password_hash" IS NOT NULL;
INSERT INTO "keeping"."person_before" SELECT "person_id", "login", "display_name" FROM "person";

-- The row of a person is a projection from here on.
ALTER TABLE "person" DROP COLUMN "password_hash";
ALTER TABLE "person" ADD COLUMN "erased_at" TIMESTAMPTZ(3);

-- Where the name of a person or of somebody without an account stands in the rows that people read.
CREATE TABLE "name_place" (
  "site_id" UUID NOT NULL,
  "kind" TEXT NOT NULL,
  "row_id" UUID NOT NULL,
  "field" TEXT NOT NULL,
  "subject_id" UUID NOT NULL,
  CONSTRAINT "name_place_pkey" PRIMARY KEY ("kind", "row_id", "field")
);
CREATE INDEX "name_place_subject_id_idx" ON "name_place" ("subject_id");

-- Objects whose bytes were destroyed on somebody's request: digest, size and reason stay.
CREATE TABLE "withdrawn_object" (
  "digest" TEXT NOT NULL,
  "site_id" UUID NOT NULL,
  "media_id" UUID NOT NULL,
  "size_bytes" BIGINT NOT NULL,
  "role" TEXT NOT NULL,
  "log_id" TEXT NOT NULL,
  "seq" BIGINT NOT NULL,
  "at" TIMESTAMPTZ(3) NOT NULL,
  "reason" TEXT NOT NULL,
  "asked_by" TEXT,
  "destroyed_at" TIMESTAMPTZ(3),
  CONSTRAINT "withdrawn_object_pkey" PRIMARY KEY ("digest")
);
CREATE INDEX "withdrawn_object_media_id_idx" ON "withdrawn_object" ("media_id");
