-- New work: sheets of glass in the register, what they cost, and the glass chosen for each piece.
CREATE TABLE "glass_sheet" (
    "material_id" UUID NOT NULL,
    "glass" TEXT NOT NULL,
    "colour" TEXT NOT NULL,
    "thickness_mm" DOUBLE PRECISION NOT NULL,
    "width_mm" DOUBLE PRECISION NOT NULL,
    "height_mm" DOUBLE PRECISION NOT NULL,
    "grain" TEXT NOT NULL,
    "offcut_of" UUID,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "glass_sheet_pkey" PRIMARY KEY ("material_id")
);

CREATE TABLE "material_price" (
    "material_id" UUID NOT NULL,
    "currency" TEXT NOT NULL,
    "price" TEXT NOT NULL,
    "per" TEXT NOT NULL,
    "fits" TEXT,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "material_price_pkey" PRIMARY KEY ("material_id")
);

CREATE TABLE "glass_choice" (
    "site_id" UUID NOT NULL,
    "piece_id" UUID NOT NULL,
    "panel_id" UUID NOT NULL,
    "material_id" UUID NOT NULL,
    "sheet" JSONB NOT NULL,
    "grain_deg" DOUBLE PRECISION,
    "held" JSONB,
    "state" TEXT NOT NULL,
    "entry_seq" BIGINT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "version" BIGINT NOT NULL,

    CONSTRAINT "glass_choice_pkey" PRIMARY KEY ("piece_id")
);
CREATE INDEX "glass_choice_panel_id_idx" ON "glass_choice"("panel_id");
