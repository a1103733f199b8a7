/** Pictures of a site as they were described at a moment. */
import type { Tx } from '#libs/archive';
import type { KnownThen } from './moment.js';
import { walkBack } from './walk-back.js';

export interface PictureThen {
  readonly kind: string;
  readonly subjects: readonly string[];
  readonly happened: string | null;
  readonly recordedAt: Date;
}

export async function picturesThen(
  tx: Tx,
  siteId: string,
  known: KnownThen | null,
): Promise<PictureThen[]> {
  const rows = await tx.query<PictureThen & { version: number }>(
    `SELECT kind, subjects, happened, recorded_at, version FROM media
     WHERE site_id = $1 AND ($2::bigint IS NULL OR entry_seq <= $2)`,
    [siteId, known?.place ?? null],
  );
  if (known === null) return rows;
  const held = rows.filter(({ version }) => version <= known.place);
  const changed = rows.filter(({ version }) => version > known.place);
  const then = await walkBack(
    tx,
    siteId,
    changed.map(({ version }) => version),
    known.place,
  );
  return [
    ...held,
    ...changed.map((row, i): PictureThen => {
      const entry = then[i];
      if (entry === undefined) return row;
      const { kind, subjects } = entry.payload as { kind: string; subjects: string[] };
      return { kind, subjects, happened: entry.happened, recordedAt: row.recordedAt };
    }),
  ];
}
