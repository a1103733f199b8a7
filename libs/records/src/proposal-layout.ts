/** A proposal laid out for paper: what is the matter, what could be done, what shall be, and room for the answer. */
import { cautionsFor, cautionText, DEFERRAL, operation } from '#libs/vocabulary';
import type { Block, Fact, RecordLayout } from './blocks.js';

export interface ProposalPaper {
  readonly siteMark: string;
  readonly siteName: string;
  readonly title: string;
  readonly issue: number;
  readonly state: string;
  readonly digest: string;
  readonly recordedAt: string;
  readonly fingerprint: string;
  readonly lines: readonly {
    readonly subjects: readonly string[];
    readonly need: string;
    readonly options: readonly {
      readonly what: string;
      readonly operations: readonly string[];
      readonly speaksFor?: string | undefined;
      readonly speaksAgainst?: string | undefined;
    }[];
    readonly chosen: number;
    readonly why: string;
    readonly materials: readonly string[];
    readonly reversibility?: string | undefined;
    readonly where: 'in-place' | 'taken-out';
  }[];
}

const BLANK = '…………………………………………………………';

/** Prices are no part of it: they stand in the estimate. */
export function layOutProposal(paper: ProposalPaper): RecordLayout {
  const keys = paper.lines.flatMap((line) => line.options[line.chosen]!.operations);
  const cautions = [...new Set(keys.flatMap((key) => operation(key)?.cautions ?? []))];
  return {
    title: paper.state === 'draft' ? 'Proposal (draft)' : 'Proposal',
    mark: paper.siteMark,
    lead: `${paper.siteName} · ${paper.title} · issue ${paper.issue}`,
    blocks: [
      ...paper.lines.map(lineBlock),
      {
        kind: 'cautions',
        heading: 'Cautions',
        items: cautionsFor(cautions).map((caution) => ({
          hazard: caution.hazard,
          text: cautionText(caution, null, paper.recordedAt.slice(0, 10)),
        })),
        deferral: DEFERRAL,
      },
      {
        kind: 'facts',
        heading: 'The answer',
        facts: [
          {
            label: 'Consented to',
            text: 'all of it  ☐     these lines  ☐  ……………………     none of it  ☐',
          },
          { label: 'On condition that', text: BLANK },
          { label: 'Good until', text: BLANK },
          { label: 'For', text: BLANK },
          { label: 'Name, date', text: BLANK },
        ],
      },
    ],
    seal: [
      { label: 'What is consented to', text: paper.digest },
      { label: 'Key fingerprint', text: paper.fingerprint },
    ],
  };
}

function lineBlock(line: ProposalPaper['lines'][number], at: number): Block {
  const facts: Fact[] = [
    { label: 'Where', text: line.subjects.join(', ') },
    { label: 'What is the matter', text: line.need },
    ...line.options.map((option, i) => ({
      label: i === line.chosen ? `Option ${i + 1}, proposed` : `Option ${i + 1}`,
      text: [
        option.what,
        option.operations.map((key) => operation(key)?.label ?? key).join(', '),
        option.speaksFor === undefined ? '' : `For it: ${option.speaksFor}`,
        option.speaksAgainst === undefined ? '' : `Against it: ${option.speaksAgainst}`,
      ]
        .filter((text) => text !== '')
        .join('\n'),
    })),
    { label: 'Why this one', text: line.why },
    { label: 'Reversibility', text: line.reversibility ?? reversibilityOf(line) },
    { label: 'Materials', text: line.materials.join(', ') || null },
    { label: 'Done', text: line.where === 'in-place' ? 'in place' : 'taken out, in the studio' },
  ];
  return { kind: 'facts', heading: `Line ${at + 1}`, facts };
}

/** As the vocabulary says of each operation that is proposed. */
function reversibilityOf({ options, chosen }: ProposalPaper['lines'][number]): string | null {
  const told = options[chosen]!.operations.flatMap((key) => {
    const known = operation(key);
    return known === undefined
      ? []
      : [`${known.label}: ${known.reversibility} (${known.reversibilityHint})`];
  });
  return told.join('\n') || null;
}
