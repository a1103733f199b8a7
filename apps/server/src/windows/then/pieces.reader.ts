import { Inject, Injectable } from '@nestjs/common';
import { z } from 'zod';
import { Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import { POOL } from '../../platform/tokens.js';
import { findingsThen } from './findings-then.js';
import { glassThen } from './glass-then.js';
import type { Moment } from './moment.js';
import type { WindowPlace } from './panel-facts.js';
import { interventionsThen, isExamination } from './work-then.js';

export const saidPieceAnswer = z.object({
  mark: z.string().describe('panel and piece: 2b.17'),
  terms: z.record(z.string(), z.int()).describe('findings in it, by term'),
  glass: z.string().nullable(),
  lastWork: z
    .object({ operation: z.string(), happened: z.string().nullable() })
    .nullable()
    .describe('the latest intervention on the piece itself'),
});
export type SaidPiece = z.infer<typeof saidPieceAnswer>;

/** Pieces of a window about which something was said, each with what. */
@Injectable()
export class SaidPiecesReader {
  readonly #tx: Tx;

  constructor(@Inject(POOL) pool: PgPool) {
    this.#tx = new Tx(pool);
  }

  async ofWindow(
    { siteId, windowId, fullMark }: WindowPlace,
    moment: Moment,
  ): Promise<SaidPiece[]> {
    const [panels, findings, glass, work] = await Promise.all([
      this.#tx.query<{ panelId: string; mark: string }>(
        'SELECT panel_id, mark FROM panel WHERE site_id = $1 AND window_id = $2 AND NOT retired',
        [siteId, windowId],
      ),
      findingsThen(this.#tx, siteId, windowId, moment, true),
      glassThen(this.#tx, siteId, windowId, fullMark, moment.known),
      interventionsThen(this.#tx, siteId, fullMark, moment),
    ]);
    const panelMark = new Map(panels.map(({ panelId, mark }) => [panelId, mark]));
    const said = new Map<string, SaidPiece>();
    const at = (mark: string): SaidPiece => {
      const known = said.get(mark) ?? { mark, terms: {}, glass: null, lastWork: null };
      said.set(mark, known);
      return known;
    };
    for (const { panelId, inPanel, term, count } of findings) {
      const panel = panelMark.get(panelId);
      if (panel === undefined || inPanel === null) continue;
      const piece = at(`${panel}.${inPanel}`);
      piece.terms[term] = (piece.terms[term] ?? 0) + count;
    }
    for (const { panelId, mark, glass: kind } of glass) {
      const panel = panelMark.get(panelId);
      if (panel !== undefined) at(`${panel}.${mark}`).glass = kind;
    }
    // Oldest day first: the latest stays.
    for (const { subjects, operation, happened } of work.filter(
      (one) => !isExamination(one.operation),
    ))
      for (const subject of subjects) {
        const mark = subject.startsWith(`${fullMark}.`) ? subject.slice(fullMark.length + 1) : '';
        if (mark.includes('.')) at(mark).lastWork = { operation, happened };
      }
    return [...said.values()];
  }
}
