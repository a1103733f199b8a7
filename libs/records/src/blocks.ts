/** A record laid out as blocks, in its printed order: what HTML and PDF have in common. */
import { entryName } from '#libs/ledger';
import {
  type Caution,
  CONDITION_WORDS,
  cautionsFor,
  cautionText,
  DEFERRAL,
  type FindingTerm,
  findingTerm,
  type Jurisdiction,
  measureText,
  type Operation,
  operation,
  RECOMMENDATION_WORDS,
  URGENCY_WORDS,
} from '#libs/vocabulary';
import type {
  ClassReason,
  ConditionRecord,
  MullionRecord,
  Observation,
  RecordBulge,
  RecordDimension,
  RecordDrawing,
  RecordElevation,
  RecordImage,
  RecordPerson,
  RecordTest,
  SurveyedElement,
  TreatmentRecord,
  TreatmentStep,
} from './record.js';

export interface RecordOptions {
  /** Whose limits are printed with the cautions; none by default. */
  readonly jurisdiction?: Jurisdiction | null;
  /** ISO date on which limits must still hold; the record's own date by default. */
  readonly today?: string;
}

export interface Fact {
  readonly label: string;
  /** null is printed as "not recorded". */
  readonly text: string | null;
}

export type Block =
  | { readonly kind: 'facts'; readonly heading: string; readonly facts: readonly Fact[] }
  | {
      readonly kind: 'class';
      readonly heading: string;
      readonly value: string;
      readonly label: string;
      readonly meaning: string;
      readonly reasons: readonly string[];
    }
  | {
      readonly kind: 'drawing';
      readonly heading: string;
      readonly drawing: RecordDrawing;
      readonly observations: readonly Observation[];
      readonly caption: string;
    }
  | {
      readonly kind: 'elevation';
      readonly heading: string;
      readonly elevation: RecordElevation;
      readonly caption: string;
    }
  | { readonly kind: 'legend'; readonly heading: string; readonly terms: readonly FindingTerm[] }
  | {
      readonly kind: 'observations';
      readonly heading: string;
      readonly rows: readonly ObservationRow[];
    }
  | { readonly kind: 'steps'; readonly heading: string; readonly rows: readonly StepRow[] }
  | {
      readonly kind: 'images';
      readonly heading: string;
      readonly images: readonly RecordImage[];
    }
  | {
      readonly kind: 'cautions';
      readonly heading: string;
      readonly items: readonly { readonly hazard: string; readonly text: string }[];
      readonly deferral: string;
    };

export interface ObservationRow {
  readonly number: number;
  readonly term: FindingTerm | null;
  readonly what: string;
  readonly where: string;
  readonly extent: string | null;
  readonly who: string | null;
  readonly when: string | null;
  readonly evidence: string | null;
  readonly note: string | null;
}

export interface StepRow {
  readonly number: number;
  readonly what: string;
  readonly where: string;
  readonly material: string | null;
  readonly who: string | null;
  readonly when: string | null;
  readonly reversibility: string | null;
  readonly note: string | null;
}

export interface RecordLayout {
  readonly title: string;
  readonly mark: string;
  /** Site and title of the subject. */
  readonly lead: string;
  readonly blocks: readonly Block[];
  /** What ties this print to the archive. */
  readonly seal: readonly Fact[];
}

/** Printed where a field holds nothing. */
export const NOT_RECORDED = 'not recorded';

export function layOutRecord(record: MullionRecord, options: RecordOptions = {}): RecordLayout {
  const { subject } = record;
  return {
    title: record.kind === 'condition' ? 'Condition record' : 'Treatment record',
    mark: subject.mark,
    lead: [subject.siteName, subject.title].filter((text) => text !== null).join(' · '),
    blocks:
      record.kind === 'condition'
        ? conditionBlocks(record, options)
        : treatmentBlocks(record, options),
    seal: sealFacts(record),
  };
}

function conditionBlocks(record: ConditionRecord, options: RecordOptions): Block[] {
  const { conditionClass, urgency, recommendation } = record;
  return [
    {
      kind: 'facts',
      heading: 'What it is',
      facts: [
        ...subjectFacts(record),
        { label: 'Keeper', text: record.keeper },
        { label: 'Protection', text: record.protection },
        { label: 'Position', text: record.location },
        ...dimensionFacts(record.dimensions),
        { label: 'Materials', text: record.materials },
        { label: 'Technique', text: record.technique },
        {
          label: 'Made',
          text:
            record.made === null
              ? null
              : join(record.made.happened, record.made.by, source(record.made.source)),
        },
        { label: 'Earlier work', text: earlierWork(record) },
      ],
    },
    {
      kind: 'facts',
      heading: 'How it was looked at',
      facts: [
        { label: 'Purpose', text: record.purpose },
        { label: 'Scope', text: record.scope },
        { label: 'Not reached', text: record.notReached },
        { label: 'Method', text: record.method },
        { label: 'Surroundings', text: record.environment },
        ...(record.elements.length === 0
          ? []
          : [{ label: 'What holds it', text: record.elements.map(elementText).join('\n') }]),
        { label: 'Observer', text: personText(record.observer) },
        { label: 'When', text: record.happened },
        { label: 'Where', text: record.place },
      ],
    },
    ...(conditionClass === null
      ? [{ kind: 'facts' as const, heading: 'Condition', facts: [{ label: 'Class', text: null }] }]
      : [
          {
            kind: 'class' as const,
            heading: 'Condition',
            value: typeof conditionClass.value === 'number' ? String(conditionClass.value) : '–',
            ...CONDITION_WORDS[conditionClass.value],
            reasons: reasonTexts(conditionClass.reasons),
          },
        ]),
    ...(urgency === null
      ? []
      : [
          {
            kind: 'class' as const,
            heading: 'Urgency',
            value: String(urgency.value),
            ...URGENCY_WORDS[urgency.value],
            reasons: reasonTexts(urgency.reasons),
          },
        ]),
    {
      kind: 'facts',
      heading: 'What follows from it',
      facts: [
        { label: 'Extent', text: record.extent },
        ...(record.bulges.length === 0
          ? []
          : [{ label: 'Out of plane', text: record.bulges.map(bulgeText).join('\n') }]),
        ...(urgency === null ? [{ label: 'Urgency', text: null }] : []),
        {
          label: 'Recommendation',
          text:
            recommendation === null
              ? null
              : join(
                  recommendation.value === null
                    ? null
                    : `${recommendation.value}, ${RECOMMENDATION_WORDS[recommendation.value].label}`,
                  recommendation.text,
                ),
        },
        { label: 'If nothing is done', text: record.risk },
        { label: 'Suspected cause', text: causes(record) },
        { label: 'Further diagnosis', text: record.furtherDiagnosis },
        ...(record.tests.length === 0
          ? []
          : [{ label: 'Tests', text: record.tests.map(testText).join('\n') }]),
        { label: 'Safety', text: record.safety },
        { label: 'Next inspection', text: record.nextInspection },
        { label: 'The classes', text: CLASSES_NOTE },
      ],
    },
    ...elevationBlock(record.elevation ?? null),
    ...drawingBlocks(record.drawings, record.observations),
    observationBlock(record.observations),
    { kind: 'images', heading: 'Images', images: record.images },
    cautionBlock(record.cautions, record, options),
  ];
}

/** The numbers are those of a published standard; every word beside them is this program's own. */
const CLASSES_NOTE =
  '0 to 3 as in EN 16096 (numbers from memory); the words for them are our own, not those of the standard';

function elementText(one: SurveyedElement): string {
  const { label } = CONDITION_WORDS[one.conditionClass];
  const value = typeof one.conditionClass === 'number' ? `${one.conditionClass}, ${label}` : label;
  return join(
    `${one.element.replaceAll('-', ' ')}: ${value}`,
    one.urgency === null ? null : `urgency ${one.urgency}, ${URGENCY_WORDS[one.urgency].label}`,
    one.recommendation === null
      ? null
      : `${one.recommendation}, ${RECOMMENDATION_WORDS[one.recommendation].label}`,
    one.reason,
  );
}

function testText(test: RecordTest): string {
  return join(
    `${test.mark}, ${test.kind}: ${test.outcome ?? 'result awaited'}`,
    test.result,
    test.untilKnown,
    test.place,
    test.method,
    test.sample,
    test.happened,
  );
}

function bulgeText({ mark, riseMm, offMm, readings, datum, happened }: RecordBulge): string {
  return join(
    `${mark}: ${Math.abs(riseMm).toFixed(1)} mm ± ${offMm.toFixed(1)} ${riseMm < 0 ? 'outwards' : 'inwards'}`,
    `${readings} readings, ${datum.replaceAll('-', ' ')}`,
    happened,
  );
}

function treatmentBlocks(record: TreatmentRecord, options: RecordOptions): Block[] {
  const { startedFrom, consent, departures } = record;
  const cautions = [
    ...new Set([
      ...record.cautions,
      ...record.steps.flatMap((step) => operation(step.operation)?.cautions ?? []),
    ]),
  ];
  return [
    {
      kind: 'facts',
      heading: 'What it is',
      facts: [
        ...subjectFacts(record),
        {
          label: 'Started from',
          text:
            startedFrom === null
              ? null
              : join(
                  `condition record, version ${versionName(startedFrom.version)}`,
                  startedFrom.digest,
                ),
        },
      ],
    },
    {
      kind: 'facts',
      heading: 'What was agreed',
      facts: [
        { label: 'Proposal', text: record.proposal },
        { label: 'Options weighed', text: record.options },
        {
          label: 'Consent',
          text:
            consent === null
              ? null
              : join(consent.by, consent.how, consent.happened, consent.conditions),
        },
      ],
    },
    { kind: 'images', heading: 'Before', images: record.beforeImages },
    { kind: 'steps', heading: 'What was done', rows: record.steps.map(stepRow) },
    ...elevationBlock(record.elevation ?? null),
    ...drawingBlocks(record.drawings, record.observations),
    ...(record.observations.length > 0 ? [observationBlock(record.observations)] : []),
    {
      kind: 'facts',
      heading: 'What changed',
      facts: [
        { label: 'Kept and taken out', text: record.keptAndRemoved },
        { label: 'Cleaning, where it stopped', text: record.cleaning },
        { label: 'New work, how to tell it', text: record.newWork },
        { label: 'Structure', text: record.structuralChange },
        { label: 'Kept samples, waste', text: record.retained },
        {
          label: 'Departures',
          text:
            departures === null
              ? null
              : departures.length === 0
                ? 'none'
                : departures
                    .map(({ what, why, agreedBy }) =>
                      join(what, why, agreedBy === null ? null : `agreed by ${agreedBy}`),
                    )
                    .join('\n'),
        },
      ],
    },
    { kind: 'images', heading: 'After', images: record.afterImages },
    {
      kind: 'facts',
      heading: 'What remains',
      facts: [
        { label: 'Risk that remains', text: record.residualRisk },
        { label: 'Upkeep', text: record.maintenance },
        { label: 'Next inspection', text: record.nextInspection },
        { label: 'Safety at work', text: record.safetyLog },
        { label: 'By', text: personText(record.by) },
        { label: 'Qualification', text: record.qualification },
        { label: 'When', text: record.happened },
      ],
    },
    cautionBlock(cautions, record, options),
  ];
}

function subjectFacts({ subject }: MullionRecord): Fact[] {
  const kinds = { site: 'site', window: 'window', panel: 'panel', piece: 'piece' } as const;
  return [
    { label: 'Mark', text: `${subject.mark} (${kinds[subject.kind]}; ${subject.scheme})` },
    ...(subject.aliases.length > 0
      ? [
          {
            label: 'Also known as',
            text: subject.aliases
              .map((alias) => `${alias.text} (${alias.scheme}; ${alias.source})`)
              .join('\n'),
          },
        ]
      : []),
    { label: 'Title', text: subject.title },
  ];
}

function dimensionFacts(dimensions: readonly RecordDimension[]): Fact[] {
  if (dimensions.length === 0) return [{ label: 'Dimensions', text: null }];
  return dimensions.map(({ name, widthMm, heightMm, source: from, note }) => ({
    label: name.charAt(0).toUpperCase() + name.slice(1),
    text:
      widthMm === null && heightMm === null
        ? null
        : join(`${millimetres(widthMm)} × ${millimetres(heightMm)} mm`, from, note),
  }));
}

function millimetres(value: number | null): string {
  return value === null ? '?' : String(Math.round(value * 2) / 2);
}

function earlierWork({ earlierWork: list }: ConditionRecord): string | null {
  if (list === null) return null;
  if (list.length === 0) return 'none known';
  return list
    .map(({ happened, by, what, evidence }) =>
      join(happened ?? 'date not known', what, by, source(evidence)),
    )
    .join('\n');
}

function causes({ suspectedCauses }: ConditionRecord): string | null {
  if (suspectedCauses === null) return null;
  if (suspectedCauses.length === 0) return 'none named';
  return suspectedCauses
    .map(({ text, confidence }) => (confidence === null ? text : `${text} (${confidence})`))
    .join('\n');
}

function source(text: string | null): string | null {
  return text === null ? null : `source: ${text}`;
}

function join(...parts: readonly (string | null)[]): string {
  return parts.filter((part) => part !== null && part !== '').join(', ');
}

/** 'Role name, role'. */
export function personText(person: RecordPerson | null): string | null {
  if (person === null) return null;
  return person.role === null || person.role === person.name
    ? person.name
    : `${person.name}, ${person.role}`;
}

function reasonTexts(reasons: readonly ClassReason[]): string[] {
  return reasons.map(({ text, observations }) =>
    observations.length === 0
      ? text
      : `${text} (${observations.map((n) => `no. ${n}`).join(', ')})`,
  );
}

function drawingBlocks(
  drawings: readonly RecordDrawing[],
  observations: readonly Observation[],
): Block[] {
  const shown = drawings.filter(({ net, outlineMm }) => net !== null || outlineMm !== null);
  const blocks = shown.map((drawing): Block => {
    const here = observations.filter(
      (one) => one.panelMark === drawing.mark && one.geometry !== null,
    );
    return {
      kind: 'drawing',
      heading: shown.length > 1 ? `Findings on ${drawing.mark}` : 'Findings on the drawing',
      drawing,
      observations: here,
      caption: drawingCaption(drawing),
    };
  });
  const keys = new Set(observations.filter((one) => one.geometry !== null).map((one) => one.term));
  const terms = [...keys].map(findingTerm).filter((term) => term !== undefined);
  return terms.length === 0 || blocks.length === 0
    ? blocks
    : [...blocks, { kind: 'legend', heading: 'Signs', terms }];
}

function elevationBlock(elevation: RecordElevation | null): Block[] {
  if (elevation === null || elevation.panels.length === 0) return [];
  const withFindings = elevation.panels.filter((panel) => panel.findings > 0).length;
  const subject = elevation.panels.find((panel) => panel.isSubject);
  const parts = [
    `${elevation.mark} seen from inside`,
    ...(subject === undefined ? [] : [`${subject.mark} outlined`]),
    `${withFindings} of ${elevation.panels.length} panels with findings told of here; the figure is their number`,
  ];
  return [
    {
      kind: 'elevation',
      heading: 'Where in the window',
      elevation,
      caption: `${parts.join('; ')}.`,
    },
  ];
}

function drawingCaption({ net, revision, isSigned, openDoubts = 0, mark }: RecordDrawing): string {
  if (net === null) return `${mark}, outline of the panel; no lead drawing yet. Seen from inside.`;
  const parts = [
    `${mark}, lead drawing`,
    ...(revision === null ? [] : [`revision ${revision}`]),
    isSigned ? `signed${openDoubts === 0 ? '' : ` with ${openDoubts} in doubt`}` : 'not signed',
    net.surface === 'developed' ? 'developed, as a rubbing is' : 'in plan',
    `${net.face} face`,
  ];
  return `${parts.join(', ')}. Seen from inside.`;
}

function observationBlock(observations: readonly Observation[]): Block {
  return {
    kind: 'observations',
    heading: 'Observations',
    rows: observations.map((one): ObservationRow => {
      const term = findingTerm(one.term) ?? null;
      const extent = one.measure === null ? '' : measureText(one.measure);
      return {
        number: one.number,
        term,
        what: term?.label ?? one.term,
        where: join(
          one.inPanel === null ? one.panelMark : `${one.panelMark}.${one.inPanel}`,
          one.face,
          one.layer === null || one.layer === 'front' ? null : `${one.layer} layer`,
        ),
        extent: extent === '' ? null : extent,
        who: personText(one.observer),
        when: one.happened,
        evidence: one.evidence.length === 0 ? null : one.evidence.join(', '),
        note: one.note,
      };
    }),
  };
}

function stepRow(step: TreatmentStep): StepRow {
  const known: Operation | undefined = operation(step.operation);
  const material = join(
    step.material,
    step.batch === null ? null : `batch ${step.batch}`,
    step.detail,
  );
  return {
    number: step.number,
    what: known?.label ?? step.operation,
    where: step.subjects.join(', '),
    material: material === '' ? null : material,
    who: personText(step.by),
    when: step.happened,
    reversibility:
      known === undefined ? null : `${known.reversibility}: ${known.reversibilityHint}`,
    note:
      join(
        step.note,
        step.images.length === 0 ? null : `images: ${step.images.join(', ')}`,
        step.evidence === null ? null : `evidence: ${step.evidence}`,
      ) || null,
  };
}

function cautionBlock(
  keys: readonly string[],
  record: MullionRecord,
  { jurisdiction = null, today }: RecordOptions,
): Block {
  const day = today ?? record.version.recordedAt?.slice(0, 10) ?? '9999-12-31';
  return {
    kind: 'cautions',
    heading: 'Cautions',
    items: cautionsFor(keys).map((caution: Caution) => ({
      hazard: caution.hazard.charAt(0).toUpperCase() + caution.hazard.slice(1),
      text: cautionText(caution, jurisdiction, day),
    })),
    deferral: DEFERRAL,
  };
}

function sealFacts({ version }: MullionRecord): Fact[] {
  const { ledger } = version;
  return [
    { label: 'Record version', text: join(versionName(version.version), version.format) },
    {
      label: 'Replaces version',
      text: version.supersedes === null ? 'none' : versionName(version.supersedes),
    },
    { label: 'Written', text: version.recordedAt },
    {
      label: 'Ledger',
      text:
        ledger === null ? null : `${ledger.origin}, entry ${ledger.entrySeq} of ${ledger.treeSize}`,
    },
    { label: 'Root hash', text: ledger?.rootHash ?? null },
    { label: 'Key fingerprint', text: ledger?.fingerprint ?? null },
    ...(ledger?.keyChange === undefined ? [] : [{ label: 'Key', text: ledger.keyChange }]),
  ];
}

/** A version is the place of an entry in the site's history: `10482`, after a restore `7 of epoch 2`. */
function versionName(version: string): string {
  const place = Number(version);
  return Number.isSafeInteger(place) ? entryName(place).replace('entry ', '') : version;
}
