/** The list by which a rebuilt panel is checked: every piece, every kind of lead, fit, cement, cure. */
import { compareNames, type Net, polylineLengthMm } from '#libs/net';

export interface LeadRow {
  /** key of the row: kind, width class and profile */
  readonly row: string;
  readonly kind: string;
  readonly widthClassMm: number;
  /** null: nobody gauged it */
  readonly profile: string | null;
  readonly leads: number;
  readonly lengthMm: number;
}

/** Leads by kind, width class and profile, the outer ones first, then the wider ones. */
export function leadRows(net: Pick<Net, 'leads'>): LeadRow[] {
  const rows = new Map<string, LeadRow>();
  for (const { kind, widthClassMm, profile, lineMm } of net.leads) {
    const row = [kind, widthClassMm, profile ?? ''].join('/');
    const before = rows.get(row) ?? { row, kind, widthClassMm, profile, leads: 0, lengthMm: 0 };
    rows.set(row, {
      ...before,
      leads: before.leads + 1,
      lengthMm: before.lengthMm + polylineLengthMm(lineMm),
    });
  }
  const rank = ({ kind }: LeadRow) => (kind === 'outer' ? 0 : 1);
  return [...rows.values()].sort(
    (a, b) =>
      rank(a) - rank(b) ||
      b.widthClassMm - a.widthClassMm ||
      compareNames(`${a.kind} ${a.profile ?? ''}`, `${b.kind} ${b.profile ?? ''}`),
  );
}

export interface Size {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** What was answered so far. */
export interface RebuildAnswers {
  readonly trialFit?: Size | undefined;
  readonly pieces: readonly {
    readonly mark: string;
    readonly is: 'in' | 'replaced' | 'missing';
  }[];
  readonly leads: readonly { readonly row: string; readonly is: 'as-listed' | 'other' }[];
  readonly cemented: object | null;
  readonly cureUntil: string | null;
  readonly comparison: object | null;
  readonly photographs: number;
}

export interface OpenItems {
  /** pieces said to be missing, or not looked at */
  readonly pieces: readonly string[];
  /** rows of leads not looked at */
  readonly leads: readonly string[];
  readonly other: readonly (
    | 'fit'
    | 'too-large'
    | 'cement'
    | 'cure'
    | 'comparison'
    | 'photograph'
  )[];
  /** room left on each side together, mm; negative: it does not go in. null: not measured */
  readonly roomMm: Size | null;
}

/** @param tight of the opening, to the back of groove or rebate; null: never measured */
export function openItems(net: Net, answers: RebuildAnswers, tight: Size | null): OpenItems {
  const there = new Set(
    answers.pieces.filter(({ is }) => is !== 'missing').map(({ mark }) => mark),
  );
  const looked = new Set(answers.leads.map(({ row }) => row));
  const fit = answers.trialFit;
  const roomMm =
    fit === undefined || tight === null
      ? null
      : {
          widthMm: tight.widthMm - fit.widthMm,
          heightMm: tight.heightMm - fit.heightMm,
        };
  const isTooLarge = roomMm !== null && Math.min(roomMm.widthMm, roomMm.heightMm) < 0;
  return {
    pieces: net.pieces
      .map(({ pieceId }) => pieceId)
      .filter((pieceId) => !there.has(pieceId))
      .sort(compareNames),
    leads: leadRows(net)
      .map(({ row }) => row)
      .filter((row) => !looked.has(row)),
    other: [
      ...(fit === undefined ? (['fit'] as const) : []),
      ...(isTooLarge ? (['too-large'] as const) : []),
      ...(answers.cemented === null ? (['cement'] as const) : []),
      ...(answers.cureUntil === null ? (['cure'] as const) : []),
      ...(answers.comparison === null ? (['comparison'] as const) : []),
      ...(answers.photographs === 0 ? (['photograph'] as const) : []),
    ],
    roomMm,
  };
}
