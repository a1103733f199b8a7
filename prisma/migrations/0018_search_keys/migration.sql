-- What search rows are filtered and counted by. Rows that stand here before get theirs from the program
-- at the next start of the worker: null says that they wait for it.
ALTER TABLE "search_row" ADD COLUMN "earliest" DATE;
ALTER TABLE "search_row" ADD COLUMN "latest" DATE;
ALTER TABLE "search_row" ADD COLUMN "happened_sure" BOOLEAN NOT NULL DEFAULT true;
ALTER TABLE "search_row" ADD COLUMN "keys" TEXT[];
CREATE INDEX "search_row_waiting" ON "search_row" ("site_id") WHERE "keys" IS NULL;
