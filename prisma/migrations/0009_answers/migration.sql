-- An answer is kept as the text that was sent: nobody asks for its members by an index, and taking it
-- apart costs more than the rest of the row.
ALTER TABLE "idempotency" ALTER COLUMN "answer" TYPE JSON USING "answer"::json;
