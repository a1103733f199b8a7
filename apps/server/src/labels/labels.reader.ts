import { Injectable } from '@nestjs/common';
import { Archive, drawingInForce, siteMarkOf, unknown } from '#libs/archive';
import { Db } from '#libs/db';
import { fileForm, parseMark, type Scheme } from '#libs/marks';
import { compareNames, type Net, netSchedule } from '#libs/net';
import type { Label } from '#libs/print';
import { Problem } from '#libs/problem';
import { LABELS_MAX, type LabelsQuery } from './labels.routes.js';

interface WindowOf {
  readonly siteId: string;
  readonly windowId: string;
  readonly mark: string;
}

interface LabelledPanel {
  readonly mark: string;
  readonly sizes: Sizes;
  readonly pieces: readonly string[];
  /** the drawing that sizes and weights are computed from; null: none yet */
  readonly net: Net | null;
}

type Sizes = Partial<Record<'panel' | 'tight' | 'sight', { widthMm: number; heightMm: number }>>;

const CAUTION = 'Tie on, or tape on lead. Never tape on painted glass.';

/** What stands on the labels of a window. */
@Injectable()
export class LabelsReader {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
  ) {}

  /** @throws {Problem} `panel-unknown`; `request-invalid` for more than can be asked for at once */
  async labels(
    window: WindowOf,
    query: LabelsQuery,
  ): Promise<{ labels: Label[]; fileName: string; title: string }> {
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId: window.siteId } });
    const above = `${siteMarkOf(site)}.${window.mark}`;
    const panels = await this.#panels(window, query);
    const labels = labelsOf(above, panels, query);
    if (labels.length === 0 || labels.length > LABELS_MAX) {
      throw new Problem(
        'request-invalid',
        labels.length === 0
          ? 'of: there is nothing to label. Pieces have labels once their drawing is signed or they were traced.'
          : `panels: these are ${labels.length} labels; ask for ${LABELS_MAX} at once, by fewer panels.`,
        { field: labels.length === 0 ? 'of' : 'panels' },
      );
    }
    const place = fileForm(parseMark(above, site.scheme as Scheme));
    return {
      labels,
      fileName: `${place}-labels-${query.of}.pdf`,
      title: `Labels of ${above}: ${query.of === 'crate' ? `crate ${query.crate ?? ''}` : query.of}`,
    };
  }

  async #panels({ windowId }: WindowOf, query: LabelsQuery): Promise<LabelledPanel[]> {
    const rows = await this.db.panel.findMany({
      where: { windowId, retired: false },
      orderBy: { sortKey: 'asc' },
    });
    const named = query.panels?.split(',').map((mark) => mark.trim());
    const missing = named?.find((mark) => !rows.some((row) => row.mark === mark));
    if (missing !== undefined) throw unknown('panel');
    const chosen = named ? rows.filter(({ mark }) => named.includes(mark)) : rows;
    return Promise.all(
      chosen.map(async (row): Promise<LabelledPanel> => {
        const { reads: tx, objects } = this.archive;
        const [inForce, pieces] = await Promise.all([
          drawingInForce({ tx, objects }, row),
          query.of === 'pieces'
            ? this.db.piece.findMany({
                where: { panelId: row.panelId, retired: false, carriedTo: null },
              })
            : [],
        ]);
        const drawn =
          query.of === 'pieces' ? (inForce?.net.pieces.map(({ pieceId }) => pieceId) ?? []) : [];
        const marks = [...new Set([...drawn, ...pieces.map(({ mark }) => mark)])];
        return {
          mark: row.mark,
          sizes: row.sizes as Sizes,
          pieces: marks.sort(compareNames),
          net: inForce?.net ?? null,
        };
      }),
    );
  }
}

function labelsOf(
  above: string,
  panels: readonly LabelledPanel[],
  { of, crate = '', face, address }: LabelsQuery,
): Label[] {
  const code = (mark: string) =>
    address === undefined
      ? mark
      : `${address.replace(/\/$/, '')}/at/${mark.replaceAll(':', '%3A')}`;
  const side = `this side is the ${face} face`;
  if (of === 'crate') {
    const marks = panels.map(({ mark }) => mark);
    const masses = panels.map(({ net }) => (net ? netSchedule(net).grams.total : null));
    const known = masses.filter((grams) => grams !== null);
    const total = known.reduce((sum, grams) => sum + grams, 0);
    return [
      {
        // A crate has no mark of its own: the code says what lies in it.
        code: `crate ${crate}: ${marks.map((mark) => `${above}.${mark}`).join(' ')}`.slice(0, 700),
        above,
        name: `crate ${crate}`.trim(),
        face: 'glass: keep upright, lift together',
        facts: [
          `${marks.length} ${marks.length === 1 ? 'panel' : 'panels'}: ${marks.join(' ')}`,
          ...(known.length === 0
            ? []
            : [
                `${kilograms(total)}, computed${known.length < masses.length ? `, of ${known.length} ${known.length === 1 ? 'panel' : 'panels'}` : ''}, without the crate`,
              ]),
        ],
        caution: 'Two people or a trolley; local rules for lifting hold.',
      },
    ];
  }
  return panels.flatMap(({ mark, sizes, pieces, net }): Label[] => {
    const schedule = net && netSchedule(net);
    if (of === 'pieces')
      return pieces.map((pieceId) => {
        const row = schedule?.pieces.find((piece) => piece.pieceId === pieceId);
        const size = row?.cutSizeMm;
        return {
          code: code(`${above}.${mark}.${pieceId}`),
          above,
          name: `${mark}.${pieceId}`,
          face: side,
          facts: [
            ...(row ? [`about ${Math.round(row.grams)} g, computed`] : []),
            ...(size ? [`${size[0].toFixed(1)} × ${size[1].toFixed(1)} mm cut`] : []),
          ],
          caution: CAUTION,
        };
      });
    const size = sizes.panel ?? sizes.tight ?? sizes.sight;
    return [
      {
        code: code(`${above}.${mark}`),
        above,
        name: mark,
        face: side,
        facts: [
          ...(schedule ? [`${kilograms(schedule.grams.total)}, computed`] : []),
          ...(size ? [`${Math.round(size.widthMm)} × ${Math.round(size.heightMm)} mm`] : []),
          ...(net ? [`${net.pieces.length} pieces`] : []),
        ],
        caution: CAUTION,
      },
    ];
  });
}

/** No finer than it is known: thickness of glass and section of lead are taken for granted. */
const kilograms = (grams: number): string =>
  grams < 950 ? `about ${Math.round(grams / 10) * 10} g` : `about ${(grams / 1000).toFixed(1)} kg`;
