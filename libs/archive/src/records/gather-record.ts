/** Condition and treatment records out of the projections; libs/records lays them out. */
import type { ObjectStore } from '#libs/objects';
import {
  blankConditionRecord,
  blankTreatmentRecord,
  type ConditionRecord,
  type MullionRecord,
  type Observation,
  type TreatmentStep,
} from '#libs/records';
import { type Operation, operation, summaryClass } from '#libs/vocabulary';
import { firstDay } from '../happened.js';
import type { InterventionRow, MediaRow } from '../rows.js';
import type { Tx } from '../tx.js';
import { readConditionClass } from '../views/condition-view.js';
import type { UsedMaterial } from '../works/used-material.js';
import { recordBackground } from './record-background.js';
import { recordDone } from './record-done.js';
import { recordDimensions, recordDrawings } from './record-drawings.js';
import { recordImages } from './record-images.js';
import { type MarkedFinding, type RecordScope, recordScope } from './record-scope.js';
import { recordSurvey } from './record-survey.js';
import { recordTechnique } from './record-technique.js';
import { recordVersion } from './record-version.js';
import { recordWorks } from './record-works.js';

export const RECORD_KINDS = ['condition', 'treatment'] as const;
export type RecordKind = (typeof RECORD_KINDS)[number];

interface Ports {
  readonly reads: Tx;
  readonly objects: ObjectStore;
}

/** Glass and lead are handled whenever a record is used at the bench. */
const ALWAYS = ['lead-dust', 'broken-glass'];

/** @param mark full and canonical, of something that is there */
export async function gatherRecord(
  { reads, objects }: Ports,
  kind: RecordKind,
  siteId: string,
  mark: string,
): Promise<MullionRecord> {
  const scope = await recordScope(reads, siteId, mark);
  const version = await recordVersion(reads, siteId, mark);
  const fileNames = await evidenceNames(reads, scope);
  const observations = scope.findings.map((row, i) => observationOf(row, i + 1, fileNames));
  const drawings = await recordDrawings(reads, objects, scope, observations);
  const { subject, interventions, media } = scope;
  if (kind === 'condition') {
    const survey = await recordSurvey(reads, siteId, scope);
    const background = await recordBackground(reads, siteId, mark);
    const { materials, technique } = await recordTechnique(reads, scope);
    return {
      ...blankConditionRecord(subject, version),
      ...background,
      ...survey.part,
      materials,
      technique:
        [background.technique, technique].filter((text) => text !== null).join('\n') || null,
      location: scope.site.place,
      dimensions: recordDimensions(scope),
      earlierWork: interventions.map((row) => ({
        happened: row.happened,
        by: row.byText ?? row.byRole,
        what: [known(row.operation)?.label ?? row.operation, row.material]
          .filter(Boolean)
          .join(', '),
        evidence: row.evidence,
      })),
      observations,
      conditionClass: conditionOf(scope),
      cautions: ALWAYS,
      images: await recordImages(reads, objects, media),
      drawings,
      observer: survey.observer ?? observerOf(scope.findings),
      happened: survey.happened ?? spanOf(scope.findings.map((row) => row.happened)),
    };
  }
  const workers = await workerNames(reads, interventions);
  const steps = interventions.map((row, i) => stepOf(row, i + 1, mark, fileNames, workers));
  return {
    ...blankTreatmentRecord(subject, version),
    ...(await recordWorks(reads, siteId, mark)),
    ...(await recordDone(reads, siteId, scope)),
    beforeImages: await recordImages(reads, objects, staged(media, 'before')),
    afterImages: await recordImages(reads, objects, staged(media, 'after')),
    steps,
    drawings,
    observations,
    cautions: [
      ...new Set([...ALWAYS, ...steps.flatMap((step) => known(step.operation)?.cautions ?? [])]),
    ],
    happened: spanOf(interventions.map((row) => row.happened)),
  };
}

function staged(media: readonly MediaRow[], stage: string): MediaRow[] {
  return media.filter((one) => one.stage === stage);
}

function known(key: string): Operation | undefined {
  return operation(key);
}

function observationOf(
  row: MarkedFinding,
  number: number,
  fileNames: ReadonlyMap<string, string>,
): Observation {
  return {
    number,
    term: row.term,
    panelMark: row.panelMark,
    inPanel: row.inPanel,
    geometry: row.geometry as Observation['geometry'],
    measure: row.measure as Observation['measure'],
    face: row.face as Observation['face'],
    layer: row.layer,
    observer: row.authorName === null ? null : { name: row.authorName, role: null },
    happened: row.happened,
    evidence: row.evidence.map((mediaId) => fileNames.get(mediaId) ?? mediaId),
    note: row.note,
    entrySeq: Number(row.entrySeq),
  };
}

function stepOf(
  row: InterventionRow,
  number: number,
  mark: string,
  fileNames: ReadonlyMap<string, string>,
  workers: ReadonlyMap<string, string>,
): TreatmentStep {
  const detail = (row.detail ?? {}) as Record<string, string | number>;
  const others = Object.entries(detail).filter(([name]) => name !== 'batch');
  const worker = row.workerId === null ? undefined : workers.get(row.workerId);
  const by = row.byText ?? worker ?? row.byRole;
  const materials = (row.materials ?? []) as UsedMaterial[];
  const details = [
    ...others.map(([name, value]) => `${name} ${value}`),
    ...materials.flatMap(materialDetails),
    ...(row.reason === null ? [] : [`reason: ${row.reason}`]),
  ];
  return {
    number,
    operation: row.operation,
    subjects: row.subjects.map((subject) =>
      subject.startsWith(`${mark}.`) ? subject.slice(mark.length + 1) : subject,
    ),
    material: row.material,
    batch:
      detail['batch'] === undefined
        ? materials.flatMap(({ batch }) => batch ?? []).join(', ') || null
        : String(detail['batch']),
    detail: details.join(', ') || null,
    by: by === null ? null : { name: by, role: by === row.byRole ? null : row.byRole },
    happened: row.happened,
    images: row.images.map((mediaId) => fileNames.get(mediaId) ?? mediaId),
    evidence: row.evidence,
    note: row.note,
    entrySeq: Number(row.entrySeq),
  };
}

/** How it was mixed, how much was taken, and until when it was good. */
function materialDetails({ name, concentration, quantity, unit, expires }: UsedMaterial): string[] {
  const told = [
    concentration,
    quantity === null ? null : [quantity, unit].filter((text) => text !== null).join(' '),
    expires === null ? null : `good until ${expires}`,
  ].filter((text) => text !== null);
  return told.length === 0 ? [] : [`${name}: ${told.join('; ')}`];
}

async function workerNames(
  tx: Tx,
  interventions: readonly InterventionRow[],
): Promise<Map<string, string>> {
  const ids = interventions.flatMap(({ workerId }) => workerId ?? []);
  const rows = await tx.query<{ personId: string; displayName: string }>(
    'SELECT person_id, display_name FROM person WHERE person_id = ANY($1::uuid[])',
    [ids],
  );
  return new Map(rows.map((row) => [row.personId, row.displayName]));
}

async function evidenceNames(
  tx: Tx,
  { findings, interventions }: RecordScope,
): Promise<Map<string, string>> {
  const ids = [
    ...findings.flatMap((row) => row.evidence),
    ...interventions.flatMap((row) => row.images),
  ];
  const rows = await tx.query<{ mediaId: string; fileName: string }>(
    'SELECT media_id, file_name FROM media WHERE media_id = ANY($1::uuid[])',
    [ids],
  );
  return new Map(rows.map((row) => [row.mediaId, row.fileName]));
}

/** The worst class of its panels, and what was said where it stands; nothing for a piece alone. */
function conditionOf({
  subject,
  panels,
  conditions,
}: RecordScope): ConditionRecord['conditionClass'] {
  if (subject.kind === 'piece') return null;
  const byPanel = new Map(
    conditions.map((row) => [row.panelId, { row, value: readConditionClass(row.conditionClass) }]),
  );
  const value = summaryClass(panels.map(({ panelId }) => byPanel.get(panelId)?.value ?? null));
  if (value === null) return null;
  const reasons = panels.flatMap(({ panelId, fullMark }) => {
    const said = byPanel.get(panelId);
    return said?.value === value
      ? [{ text: `${fullMark}, ${said.row.happened}: ${said.row.reason}`, observations: [] }]
      : [];
  });
  return { value, reasons };
}

function observerOf(findings: readonly MarkedFinding[]) {
  const names = [...new Set(findings.flatMap((row) => row.authorName ?? []))];
  return names.length === 0 ? null : { name: names.join(', '), role: null };
}

/** One date, or from the first to the last day that is told; null when nobody said. */
function spanOf(dates: readonly (string | null)[]): string | null {
  const told = [...new Set(dates.filter((date) => date !== null))];
  if (told.length <= 1) return told[0] ?? null;
  const days = told
    .map(firstDay)
    .filter((day) => day !== null)
    .sort();
  const [first, last] = [days[0], days.at(-1)];
  if (first === undefined || last === undefined) return null;
  return first === last ? first : `${first}/${last}`;
}
