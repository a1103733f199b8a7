-- Who drew a revision of the lead drawing, took it in from a file, or had the sheet read.
ALTER TABLE "net_revision" ADD COLUMN "recorded_by" UUID;

-- Revisions made before: by the entry that made each.
UPDATE "net_revision" n SET "recorded_by" = found.actor_id
FROM (
  SELECT e.actor_id::uuid AS actor_id, p.body ->> 'panelId' AS panel_id, (p.body ->> 'revision')::int AS revision
  FROM "entry" e,
       LATERAL (SELECT convert_from(e.bytes, 'UTF8')::jsonb -> 'payload' AS body) p
  WHERE e.type IN ('net.revise', 'net.import', 'net.extract')
) found
WHERE found.panel_id = n.panel_id::text AND found.revision = n.revision;

ALTER TABLE "net_revision" ALTER COLUMN "recorded_by" SET NOT NULL;
