-- Where a test was made, in the panel's frame; null where it was said in words only.
ALTER TABLE "test" ADD COLUMN "at_x_mm" DOUBLE PRECISION,
    ADD COLUMN "at_y_mm" DOUBLE PRECISION;
