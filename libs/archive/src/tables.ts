import type { Lookup } from './lookup.js';
import { type ColumnType, quoted, type RowTarget, snakeCase } from './row-insert.js';
import type {
  AliasRow,
  AssemblyRow,
  BackgroundRow,
  CampaignRow,
  ConditionRow,
  ConsentRow,
  CrateRow,
  DeflectionRow,
  DeviceRow,
  DossierRow,
  EstimateRow,
  FindingRow,
  FlagRow,
  GlassChoiceRow,
  GlassSheetRow,
  HandoverRow,
  InterventionRow,
  JoiningRow,
  KeyEventRow,
  LensCalibrationRow,
  MaterialPriceRow,
  MaterialRow,
  MaterialUseRow,
  MediaRow,
  MovementRow,
  NamePlaceRow,
  NetRevisionRow,
  PanelMaterialsRow,
  PanelRow,
  PersonRow,
  PieceRow,
  PieceTechniqueRow,
  PlacementRow,
  ProposalRow,
  RoleGrantRow,
  RubbingRow,
  ScrubRow,
  SearchRowRow,
  SiteRow,
  SurveyRow,
  TestRow,
  TreatmentSignatureRow,
  WindowRow,
  WithdrawnObjectRow,
  WitnessedLogRow,
  WorkStepRow,
  WorkTimeRow,
} from './rows.js';
import type { Tx } from './tx.js';

/** Every projection: the row it holds. All of them can be dropped and rebuilt from the ledger. */
export interface Projections {
  key_event: KeyEventRow;
  person: PersonRow;
  role_grant: RoleGrantRow;
  device: DeviceRow;
  site: SiteRow;
  window: WindowRow;
  panel: PanelRow;
  piece: PieceRow;
  alias: AliasRow;
  media: MediaRow;
  rubbing: RubbingRow;
  net_revision: NetRevisionRow;
  lens_calibration: LensCalibrationRow;
  placement: PlacementRow;
  finding: FindingRow;
  intervention: InterventionRow;
  condition: ConditionRow;
  background: BackgroundRow;
  campaign: CampaignRow;
  consent: ConsentRow;
  estimate: EstimateRow;
  flag: FlagRow;
  material: MaterialRow;
  material_price: MaterialPriceRow;
  material_use: MaterialUseRow;
  glass_sheet: GlassSheetRow;
  glass_choice: GlassChoiceRow;
  proposal: ProposalRow;
  treatment_signature: TreatmentSignatureRow;
  work_time: WorkTimeRow;
  survey: SurveyRow;
  test: TestRow;
  deflection: DeflectionRow;
  panel_materials: PanelMaterialsRow;
  piece_technique: PieceTechniqueRow;
  assembly: AssemblyRow;
  joining: JoiningRow;
  crate: CrateRow;
  movement: MovementRow;
  handover: HandoverRow;
  work_step: WorkStepRow;
  dossier: DossierRow;
  name_place: NamePlaceRow;
  withdrawn_object: WithdrawnObjectRow;
  search_row: SearchRowRow;
  witnessed_log: WitnessedLogRow;
  scrub: ScrubRow;
}

export type Projection = keyof Projections;

interface Layout {
  readonly key: readonly string[];
  readonly json: readonly string[];
}

export const PROJECTIONS: { readonly [T in Projection]: Layout } = {
  key_event: { key: ['logId', 'seq'], json: [] },
  person: { key: ['personId'], json: [] },
  role_grant: { key: ['grantId'], json: [] },
  device: { key: ['deviceId'], json: [] },
  site: { key: ['siteId'], json: [] },
  window: { key: ['windowId'], json: ['drawing'] },
  panel: { key: ['panelId'], json: ['sizes'] },
  piece: { key: ['pieceId'], json: [] },
  alias: { key: ['aliasId'], json: [] },
  media: { key: ['mediaId'], json: ['light', 'exif'] },
  rubbing: { key: ['rubbingId'], json: ['conditions', 'sheet'] },
  net_revision: { key: ['panelId', 'revision'], json: ['summary', 'reading'] },
  lens_calibration: { key: ['calibrationId'], json: [] },
  placement: { key: ['panelId', 'mediaId'], json: ['points'] },
  finding: { key: ['findingId'], json: ['geometry', 'measure'] },
  intervention: { key: ['interventionId'], json: ['detail', 'materials'] },
  condition: { key: ['conditionId'], json: [] },
  background: { key: ['siteId', 'mark'], json: ['said'] },
  campaign: { key: ['campaignId'], json: ['people', 'closing'] },
  consent: { key: ['consentId'], json: ['conditions'] },
  estimate: { key: ['estimateId'], json: ['terms', 'alternatives'] },
  flag: { key: ['flagId'], json: ['said'] },
  material: { key: ['materialId'], json: [] },
  material_price: { key: ['materialId'], json: [] },
  glass_sheet: { key: ['materialId'], json: [] },
  glass_choice: { key: ['pieceId'], json: ['sheet', 'held'] },
  material_use: { key: ['interventionId', 'number'], json: [] },
  proposal: { key: ['issueId'], json: ['lines'] },
  treatment_signature: { key: ['signatureId'], json: [] },
  work_time: { key: ['workTimeId'], json: [] },
  survey: { key: ['surveyId'], json: ['said', 'panels'] },
  test: { key: ['testId'], json: [] },
  deflection: { key: ['deflectionId'], json: ['readings', 'figures'] },
  panel_materials: { key: ['panelId'], json: ['said'] },
  piece_technique: { key: ['pieceId'], json: ['said'] },
  assembly: { key: ['assemblyId'], json: ['asked'] },
  joining: { key: ['joiningId'], json: ['laid', 'apart', 'joints', 'missing'] },
  crate: { key: ['crateId'], json: ['limits'] },
  movement: { key: ['movementId'], json: ['toPlace', 'slots'] },
  handover: { key: ['handoverId'], json: ['seen', 'unpackedTo'] },
  work_step: { key: ['stepId'], json: ['detail'] },
  dossier: { key: ['dossierId'], json: [] },
  name_place: { key: ['kind', 'rowId', 'field'], json: [] },
  withdrawn_object: { key: ['digest'], json: [] },
  search_row: { key: ['siteId', 'kind', 'rowId'], json: [] },
  witnessed_log: { key: ['origin'], json: [] },
  scrub: { key: ['scrubId'], json: [] },
};

interface Prepared {
  readonly target: RowTarget;
  readonly byKey: Lookup<Record<string, string | number>>;
}

const STEADY: { readonly [T in Projection]?: 'site' | 'studio' } = {
  person: 'studio',
  site: 'site',
  window: 'site',
  panel: 'site',
  net_revision: 'site',
  lens_calibration: 'site',
};

/** Types of the columns of tables that nearly every command writes. */
const TYPES: { readonly [T in Projection]?: { readonly [C in keyof Projections[T]]: ColumnType } } =
  {
    finding: {
      siteId: 'uuid',
      findingId: 'uuid',
      panelId: 'uuid',
      inPanel: 'text',
      term: 'text',
      geometry: 'jsonb',
      measure: 'jsonb',
      face: 'text',
      layer: 'text',
      netRevision: 'int4',
      evidence: 'text[]',
      authorId: 'uuid',
      happened: 'text',
      note: 'text',
      state: 'text',
      supersededBy: 'uuid',
      entrySeq: 'int8',
      recordedAt: 'timestamptz',
      version: 'int8',
    },
    search_row: {
      siteId: 'uuid',
      rowId: 'text',
      kind: 'text',
      subject: 'text',
      windowMark: 'text',
      stage: 'text',
      happened: 'text',
      happenedFrom: 'date',
      earliest: 'date',
      latest: 'date',
      happenedSure: 'bool',
      keys: 'text[]',
      title: 'text',
      text: 'text',
      recordedAt: 'timestamptz',
    },
  };

const prepared = new Map<Projection, Prepared>();

function preparedOf(table: Projection): Prepared {
  let found = prepared.get(table);
  if (found === undefined) {
    const { key, json } = PROJECTIONS[table];
    const types = TYPES[table];
    found = {
      target: {
        table,
        key,
        json,
        whenThere: 'replace',
        ...(types === undefined ? {} : { types }),
      },
      byKey: {
        // The table itself gives the parts of the key their types.
        text: `SELECT t.* FROM "${table}" t
          JOIN json_populate_recordset(NULL::"${table}", $1::json) AS wanted
            ON ${key.map((c) => `t.${quoted(c)} = wanted.${quoted(c)}`).join(' AND ')}`,
        members: key.map(snakeCase),
        tables: [table],
        ...(STEADY[table] === undefined ? {} : { steadyIn: STEADY[table] }),
        rowOf: table,
        keyOf: (row) => key.map((column) => row[column]!),
      },
    };
    prepared.set(table, found);
  }
  return found;
}

type RowPart<T extends Projection> = Partial<Projections[T]>;

/** Writes a whole row; one with the same key is replaced. */
export function putRow<T extends Projection>(tx: Tx, table: T, row: Projections[T]): Promise<void> {
  return tx.put(preparedOf(table).target, row);
}

/** Changes some columns of the rows that match; answers how many there were. */
export async function changeRows<T extends Projection>(
  tx: Tx,
  table: T,
  where: RowPart<T>,
  changes: RowPart<T>,
): Promise<number> {
  const key = keyIn(table, where);
  if (key !== undefined && tx.changeKeptBack(table, key, changes)) return 1;
  const set = Object.keys(changes);
  const match = Object.keys(where);
  return tx.run(
    `UPDATE "${table}" SET ${set.map((c, i) => `${quoted(c)} = $${i + 1}`).join(', ')}
     WHERE ${match.map((c, i) => `${quoted(c)} = $${set.length + i + 1}`).join(' AND ')}`,
    [
      ...set.map((c) => sqlValue(table, c, changes[c as keyof typeof changes])),
      ...match.map((c) => sqlValue(table, c, where[c as keyof typeof where])),
    ],
    [table],
  );
}

export async function findRow<T extends Projection>(
  tx: Tx,
  table: T,
  where: RowPart<T>,
): Promise<Projections[T] | undefined> {
  const key = keyIn(table, where);
  const rows =
    key === undefined
      ? await findRows(tx, table, where)
      : await tx.ask(preparedOf(table).byKey, ...key);
  return rows[0] as Projections[T] | undefined;
}

export function findRows<T extends Projection>(
  tx: Tx,
  table: T,
  where: RowPart<T>,
  orderBy = '',
): Promise<Projections[T][]> {
  const match = Object.keys(where);
  return tx.query<Projections[T]>(
    `SELECT * FROM "${table}"
     WHERE ${match.map((c, i) => `${quoted(c)} = $${i + 1}`).join(' AND ')} ${orderBy}`,
    match.map((c) => sqlValue(table, c, where[c as keyof typeof where])),
    [table],
  );
}

/** The row's key when the condition names that and nothing else. */
function keyIn<T extends Projection>(table: T, where: RowPart<T>): (string | number)[] | undefined {
  const { key } = PROJECTIONS[table];
  const parts = key.map((column) => where[column as keyof typeof where] as unknown);
  return Object.keys(where).length === key.length &&
    parts.every((part) => typeof part === 'string' || typeof part === 'number')
    ? parts
    : undefined;
}

// pg would write a JavaScript array as a PostgreSQL array, so JSON columns go over as text.
function sqlValue(table: Projection, column: string, value: unknown): unknown {
  if (!PROJECTIONS[table].json.includes(column)) return value;
  return value === null || value === undefined ? null : JSON.stringify(value);
}
