/**
 * What a treatment record says of the whole of the work, out of what was recorded step by step: which
 * state it started from, what was kept, cleaned, new, structural and laid aside, and what was known of
 * hazards. Nothing is asked of people twice.
 */
import { base64Of, placeInHistory, readPlace } from '#libs/ledger';
import type { TreatmentRecord } from '#libs/records';
import { operation, testKind } from '#libs/vocabulary';
import type { InterventionRow, TestRow, WorkStepRow } from '../rows.js';
import type { Tx } from '../tx.js';
import type { RecordScope } from './record-scope.js';
import { testsAt, toldTest } from './record-tests.js';
import { textOfLines } from './text-of-lines.js';

type RecordDone = Pick<
  TreatmentRecord,
  | 'startedFrom'
  | 'keptAndRemoved'
  | 'cleaning'
  | 'newWork'
  | 'structuralChange'
  | 'retained'
  | 'safetyLog'
>;

/** Operations that leave something in the window that was not there. */
const NEW_WORK = new Set([
  'foil',
  'plate',
  'infill.glass',
  'infill.resin',
  'replace',
  'repaint.plate',
  'repaint.cold',
  'repaint.original',
  'paint.new',
  'stain',
  'gild',
  'etch',
  'relead.part',
  'relead.whole',
]);

interface Step extends WorkStepRow {
  readonly mark: string;
}

export async function recordDone(
  tx: Tx,
  siteId: string,
  { subject, panels, interventions }: RecordScope,
): Promise<RecordDone> {
  const markOf = new Map(panels.map(({ panelId, fullMark }) => [panelId, fullMark]));
  const isOfPiece = subject.kind === 'piece';
  const steps = isOfPiece
    ? []
    : (
        await tx.query<WorkStepRow>(
          'SELECT * FROM work_step WHERE panel_id = ANY($1::uuid[]) ORDER BY entry_seq',
          [[...markOf.keys()]],
        )
      ).map((row): Step => ({ ...row, mark: markOf.get(row.panelId!)! }));
  const tests = await testsAt(tx, siteId, subject.mark);
  const works = interventions.map((row) => ({
    row,
    group: operation(row.operation)?.group ?? null,
  }));
  return {
    startedFrom: await startedFrom(tx, siteId, subject.mark, [...interventions, ...steps]),
    keptAndRemoved: textOfLines(latest(steps, 'check').map(keptText)),
    cleaning: textOfLines([
      ...tests.filter(({ kind }) => kind === 'cleaning-trial').map(testText),
      ...works.filter(({ group }) => group === 'clean').map(({ row }) => workText(row)),
    ]),
    newWork: textOfLines(
      works.filter(({ row }) => NEW_WORK.has(row.operation)).map(({ row }) => workText(row)),
    ),
    structuralChange: textOfLines([
      ...latest(steps, 'refix').flatMap(structureText),
      ...works.filter(({ group }) => group === 'support').map(({ row }) => workText(row)),
    ]),
    retained: textOfLines([
      ...latest(steps, 'dismantle').flatMap(sampleText),
      ...tests.flatMap(({ subject: mark, kind, sample }) =>
        sample === null ? [] : [`${mark}, ${testKind(kind)?.label ?? kind}: ${sample}`],
      ),
    ]),
    safetyLog: textOfLines([
      ...latest(steps, 'dismantle').flatMap(puttyText),
      ...tests.filter(({ kind }) => kind === 'putty-asbestos').map(testText),
    ]),
  };
}

/** The last entry that said anything of the place before the first work on it, with its leaf hash. */
async function startedFrom(
  tx: Tx,
  siteId: string,
  mark: string,
  work: readonly Pick<WorkStepRow, 'entrySeq'>[],
): Promise<RecordDone['startedFrom']> {
  if (work.length === 0) return null;
  const first = readPlace(Math.min(...work.map(({ entrySeq }) => Number(entrySeq))));
  const row = await tx.first<{ epoch: number; seq: number; leafHash: Buffer }>(
    `SELECT l.epoch, e.seq, e.leaf_hash FROM entry e JOIN log l USING (log_id)
     WHERE l.site_id = $1::uuid AND (l.epoch, e.seq) < ($3::int, $4::bigint)
       AND (e.subject = $2 OR starts_with(e.subject, $2 || '.'))
     ORDER BY l.epoch DESC, e.seq DESC LIMIT 1`,
    [siteId, mark, first.epoch, first.seq],
  );
  if (row === undefined) return null;
  return {
    version: String(placeInHistory(row.epoch, row.seq)),
    digest: `leaf hash ${base64Of(row.leafHash)}`,
  };
}

/** Of each panel the newest step of a kind. */
function latest(steps: readonly Step[], kind: string): Step[] {
  const of = steps.filter((step) => step.kind === kind);
  return [...new Map(of.map((step) => [step.mark, step])).values()];
}

interface Checked {
  readonly pieces: readonly { readonly mark: string; readonly is: string }[];
  readonly leads: readonly {
    readonly row: string;
    readonly is: string;
    readonly profileUsed?: string;
  }[];
}

function keptText({ mark, detail }: Step): string {
  const { pieces, leads } = detail as Checked;
  const those = (is: string) => pieces.filter((one) => one.is === is);
  const named = (is: string, words: string) => {
    const some = those(is);
    return some.length === 0 ? [] : [`${words} ${some.map((one) => one.mark).join(', ')}`];
  };
  const other = leads.filter((one) => one.is === 'other');
  return [
    `${mark}: put back ${those('in').length} of ${pieces.length} pieces`,
    ...named('replaced', 'replaced'),
    ...named('missing', 'missing'),
    ...(leads.length === 0
      ? []
      : [`${leads.length - other.length} of ${leads.length} kinds of lead as listed`]),
    ...other.map(
      ({ row, profileUsed }) =>
        `${row.replaceAll('/', ' ').trim()} now ${profileUsed ?? 'another'}`,
    ),
  ].join('; ');
}

interface Refixed {
  readonly bars: readonly {
    readonly mark: string;
    readonly state: string;
    readonly note?: string;
  }[];
  readonly ties?: { readonly count: number; readonly material?: string };
  readonly pointing?: { readonly with: string; readonly batch?: string };
  readonly ventilationGapMm?: number;
}

function structureText({ mark, detail }: Step): string[] {
  const { bars, ties, pointing, ventilationGapMm } = detail as Refixed;
  const told = [
    ...bars.map((bar) => [`${bar.mark} ${bar.state}`, bar.note].filter(Boolean).join(', ')),
    ...(ties === undefined
      ? []
      : [[`${ties.count} ties`, ties.material].filter(Boolean).join(' of ')]),
    ...(pointing === undefined
      ? []
      : [[`pointed with ${pointing.with}`, pointing.batch].filter(Boolean).join(', batch ')]),
    ...(ventilationGapMm === undefined ? [] : [`ventilation gap ${ventilationGapMm} mm`]),
  ];
  return told.length === 0 ? [] : [`${mark}: ${told.join('; ')}`];
}

interface Dismantled {
  readonly cameSample?:
    | { readonly kept: true; readonly name: string; readonly leadId?: string }
    | { readonly kept: false; readonly because: string };
  readonly putty?: {
    readonly state: string;
    readonly tested: string;
    readonly with?: string;
    readonly hours?: number;
  };
}

function sampleText({ mark, detail }: Step): string[] {
  const { cameSample } = detail as Dismantled;
  if (cameSample === undefined) return [];
  if (!cameSample.kept) return [`${mark}: no sample of the old came, ${cameSample.because}`];
  const from = cameSample.leadId === undefined ? '' : ` from ${cameSample.leadId}`;
  return [`${mark}: old came ${cameSample.name}${from}`];
}

function puttyText({ mark, detail }: Step): string[] {
  const { putty } = detail as Dismantled;
  if (putty === undefined) return [];
  const { state, tested, with: soaked, hours } = putty;
  return [
    [
      `${mark}: putty ${state}`,
      tested.replaceAll('-', ' '),
      soaked === undefined ? '' : `soaked with ${soaked}`,
      hours === undefined ? '' : `${hours} hours`,
    ]
      .filter((text) => text !== '')
      .join(', '),
  ];
}

function workText({ subjects, operation: key, material, note, happened }: InterventionRow): string {
  return [subjects.join(', '), operation(key)?.label ?? key, material, note, happened]
    .filter((text) => text !== null && text !== '')
    .join(', ');
}

function testText(row: TestRow): string {
  const { mark, kind, place, method, outcome, untilKnown, result, happened } = toldTest(row);
  return [
    `${mark}, ${kind}, ${place}`,
    method,
    outcome ?? untilKnown ?? 'result awaited',
    result,
    happened,
  ]
    .filter((text) => text !== null && text !== '')
    .join(', ');
}
