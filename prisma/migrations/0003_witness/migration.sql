-- Others who remember: what this archive witnesses for others, what others say of its own logs, and
-- time tokens over its checkpoints.

-- CreateTable
CREATE TABLE "witnessed_log" (
    "origin" TEXT NOT NULL,
    "verifier_keys" TEXT[],
    "released" BOOLEAN NOT NULL,
    "registered_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "witnessed_log_pkey" PRIMARY KEY ("origin")
);

-- CreateTable
CREATE TABLE "witnessed_checkpoint" (
    "origin" TEXT NOT NULL,
    "size" BIGINT NOT NULL,
    "note" TEXT NOT NULL,
    "cosigned_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "witnessed_checkpoint_pkey" PRIMARY KEY ("origin", "size")
);

-- CreateTable
CREATE TABLE "cosignature" (
    "origin" TEXT NOT NULL,
    "size" BIGINT NOT NULL,
    "key_name" TEXT NOT NULL,
    "key_id" TEXT NOT NULL,
    "line" TEXT NOT NULL,
    "stated_at" TIMESTAMPTZ(3) NOT NULL,
    "received_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "cosignature_pkey" PRIMARY KEY ("origin", "size", "key_name", "key_id")
);

-- CreateTable
CREATE TABLE "witness_alarm" (
    "origin" TEXT NOT NULL,
    "witness" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "their_size" BIGINT NOT NULL,
    "our_size" BIGINT NOT NULL,
    "says" TEXT NOT NULL,
    "noticed_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "witness_alarm_pkey" PRIMARY KEY ("origin", "witness", "kind", "their_size")
);

-- CreateTable
CREATE TABLE "time_token" (
    "origin" TEXT NOT NULL,
    "size" BIGINT NOT NULL,
    "authority" TEXT NOT NULL,
    "token" BYTEA NOT NULL,
    "stated_at" TIMESTAMPTZ(3) NOT NULL,
    "received_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "time_token_pkey" PRIMARY KEY ("origin", "size", "authority")
);

-- CreateTable
CREATE TABLE "outside_ask" (
    "origin" TEXT NOT NULL,
    "whom" TEXT NOT NULL,
    "known_size" BIGINT NOT NULL,
    "failures" INTEGER NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "next_at" TIMESTAMPTZ(3) NOT NULL,
    "trouble" TEXT,

    CONSTRAINT "outside_ask_pkey" PRIMARY KEY ("origin", "whom")
);
