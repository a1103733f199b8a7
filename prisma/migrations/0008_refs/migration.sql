-- Where a role was given: the entry that later entries of its holder refer to.
ALTER TABLE "role_grant" ADD COLUMN "log_id" TEXT, ADD COLUMN "entry_seq" BIGINT;

-- Roles given before: the entry whose payload holds the grant's id.
UPDATE "role_grant" g SET "log_id" = found.log_id, "entry_seq" = found.seq
FROM (
  SELECT e.log_id, e.seq, coalesce(one ->> 'grantId', body ->> 'grantId') AS grant_id
  FROM "entry" e,
       LATERAL (SELECT convert_from(e.bytes, 'UTF8')::jsonb -> 'payload' AS body) p
       LEFT JOIN LATERAL jsonb_array_elements(p.body -> 'grants') AS one ON true
  WHERE e.type IN ('person.start', 'person.add', 'role.grant')
) found
WHERE found.grant_id = g.grant_id::text;

ALTER TABLE "role_grant" ALTER COLUMN "log_id" SET NOT NULL, ALTER COLUMN "entry_seq" SET NOT NULL;
