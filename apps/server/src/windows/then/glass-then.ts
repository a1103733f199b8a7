/** What glass the pieces of a window are, as described. The glass has no day: it is what it is. */
import type { Tx } from '#libs/archive';
import { parseEntry } from '#libs/ledger';
import { type KnownThen, placeSql } from './moment.js';

export interface GlassThen {
  readonly panelId: string;
  readonly mark: string;
  readonly glass: string;
}

interface Piece {
  readonly pieceId: string;
  readonly panelId: string;
  readonly mark: string;
  readonly glass: string | null;
  readonly carriedTo: string | null;
  readonly retired: boolean;
  readonly version: number;
  readonly subject: string;
}

export async function glassThen(
  tx: Tx,
  siteId: string,
  windowId: string,
  windowMark: string,
  known: KnownThen | null,
): Promise<GlassThen[]> {
  if (known === null) {
    return tx.query<GlassThen>(
      `SELECT c.panel_id, c.mark, c.glass FROM piece c JOIN panel p USING (panel_id)
       WHERE p.site_id = $1 AND p.window_id = $2 AND NOT c.retired AND c.glass IS NOT NULL`,
      [siteId, windowId],
    );
  }
  const pieces = await tx.query<Piece>(
    `SELECT c.piece_id, c.panel_id, c.mark, c.glass, c.carried_to, c.retired, c.version,
            $3 || '.' || p.mark || '.' || c.mark AS subject
     FROM piece c JOIN panel p USING (panel_id)
     WHERE p.site_id = $1 AND p.window_id = $2 AND c.glass IS NOT NULL`,
    [siteId, windowId, windowMark],
  );
  const said = await describedThen(
    tx,
    siteId,
    pieces.filter(({ version }) => version > known.place).map(({ subject }) => subject),
    known.place,
  );
  // A traced piece whose number was carried over by then told its glass to the piece of the drawing.
  const carried = new Map<string, string>();
  const glassOf = (piece: Piece) =>
    piece.version <= known.place ? piece.glass : (said.get(piece.pieceId) ?? null);
  for (const piece of pieces) {
    const glass = glassOf(piece);
    if (piece.carriedTo !== null && piece.version <= known.place && glass !== null)
      carried.set(piece.carriedTo, glass);
  }
  return pieces.flatMap((piece) => {
    const glass = glassOf(piece) ?? carried.get(piece.pieceId) ?? null;
    const isThere = !piece.retired || piece.version > known.place;
    return glass === null || !isThere ? [] : [{ panelId: piece.panelId, mark: piece.mark, glass }];
  });
}

async function describedThen(
  tx: Tx,
  siteId: string,
  subjects: readonly string[],
  place: number,
): Promise<Map<string, string | null>> {
  const rows = await tx.query<{ bytes: Buffer }>(
    `SELECT e.bytes FROM log l JOIN entry e USING (log_id)
     WHERE l.site_id = $1 AND e.subject = ANY($2) AND e.type = 'piece.describe'
       AND ${placeSql('e.seq')} <= $3
     ORDER BY l.epoch, e.seq`,
    [siteId, subjects, place],
  );
  return new Map(
    rows.map(({ bytes }) => {
      const { pieceId, glass } = parseEntry(new Uint8Array(bytes)).payload as {
        pieceId: string;
        glass: string | null;
      };
      return [pieceId, glass];
    }),
  );
}
