import { type SubmitEvent, useState } from 'react';
import { OPERATIONS, operation } from '#libs/vocabulary';
import { type Proposal, type ProposalLine, writeProposal } from '../platform/api/works.js';
import { Cautions } from '../platform/Cautions.js';
import { Field } from '../platform/Field.js';
import { say, sayWord } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { marksIn } from './marks-in.js';

interface Draft {
  readonly subjects: string;
  readonly need: string;
  readonly what: string;
  readonly operations: readonly string[];
  readonly other: string;
  readonly whyNot: string;
  readonly why: string;
  readonly materials: string;
  readonly where: 'in-place' | 'taken-out';
}

/** A proposal is written line by line: place, need, what is proposed and what else was weighed, why. */
export function ProposalForm({
  campaignId,
  before,
  chosen,
  afterwards,
}: {
  campaignId: string;
  /** the issue that is gone on with */
  before: Proposal | null;
  chosen: readonly string[];
  afterwards: () => void;
}) {
  const [title, setTitle] = useState(before?.title ?? '');
  const [lines, setLines] = useState<readonly Draft[]>(
    before ? before.lines.map(draftOf) : [{ ...BLANK, subjects: chosen.join(', ') }],
  );
  const { busy, why, run } = useAct();
  const write = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const body = {
        title,
        lines: lines.map(lineOf),
        ...(before === null ? {} : { proposalId: before.proposalId }),
      };
      await writeProposal(campaignId, body, before?.version ?? null);
      afterwards();
    });
  };
  return (
    <form className="paper stack" onSubmit={write} aria-label={say('Write a proposal')}>
      <h1>{before ? before.title : say('A proposal')}</h1>
      <TextField label={say('What it is called')} required value={title} onValue={setTitle} />
      {lines.map((line, i) => (
        <LineFields
          // lines have no name of their own, and are only added at the end
          key={String(i)}
          number={i + 1}
          line={line}
          onLine={(changed) => {
            setLines(lines.map((one, at) => (at === i ? changed : one)));
          }}
        />
      ))}
      <div className="row">
        <button
          type="button"
          className="quiet"
          onClick={() => {
            setLines([...lines, BLANK]);
          }}
        >
          {say('Another line')}
        </button>
      </div>
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy}>
          {say('Keep it as a draft')}
        </button>
      </div>
    </form>
  );
}

function LineFields({
  number,
  line,
  onLine,
}: {
  number: number;
  line: Draft;
  onLine: (line: Draft) => void;
}) {
  const text = (label: string, member: keyof Draft, isNeeded: boolean, hint?: string) => (
    <TextField
      label={label}
      hint={hint}
      required={isNeeded}
      value={String(line[member])}
      onValue={(value) => {
        onLine({ ...line, [member]: value });
      }}
    />
  );
  const cautions = [...new Set(line.operations.flatMap((key) => operation(key)?.cautions ?? []))];
  return (
    <fieldset className="stack proposal-line">
      <legend>{say('Line {number}', { number })}</legend>
      {text(say('Where'), 'subjects', true, 'wI.3b, wI.3b.17')}
      {text(say('What is the matter'), 'need', true)}
      {text(say('What is proposed'), 'what', true)}
      <Field label={say('Operations')}>
        {(ids) => (
          <select
            {...ids}
            value=""
            onChange={(event) => {
              const key = event.target.value;
              if (key !== '' && !line.operations.includes(key))
                onLine({ ...line, operations: [...line.operations, key] });
            }}
          >
            <option value="">{say('add one…')}</option>
            {OPERATIONS.map((one) => (
              <option key={one.key} value={one.key}>
                {sayWord(one.label)}
              </option>
            ))}
          </select>
        )}
      </Field>
      {line.operations.length > 0 ? (
        <div className="row">
          {line.operations.map((key) => (
            <button
              key={key}
              type="button"
              className="quiet"
              onClick={() => {
                onLine({ ...line, operations: line.operations.filter((one) => one !== key) });
              }}
            >
              {say('{operation}: leave it out', {
                operation: sayWord(operation(key)?.label ?? key),
              })}
            </button>
          ))}
        </div>
      ) : null}
      {cautions.length > 0 ? <Cautions keys={cautions} /> : null}
      {text(say('Why this'), 'why', true)}
      <div className="two">
        {text(say('What else was weighed'), 'other', false)}
        {text(say('What speaks against it'), 'whyNot', false)}
      </div>
      {text(say('Materials'), 'materials', false, say('generic names, with a comma between them'))}
      <OneOf
        legend={say('Done')}
        options={['in-place', 'taken-out'] as const}
        value={line.where}
        onValue={(where) => {
          onLine({ ...line, where });
        }}
        words={(one) => (one === 'in-place' ? say('in place') : say('taken out, in the studio'))}
      />
    </fieldset>
  );
}

const BLANK: Draft = {
  subjects: '',
  need: '',
  what: '',
  operations: [],
  other: '',
  whyNot: '',
  why: '',
  materials: '',
  where: 'in-place',
};

/** The option that is chosen comes first; one that was weighed beside it second. */
function lineOf(draft: Draft): ProposalLine {
  const other = draft.other.trim();
  return {
    subjects: marksIn(draft.subjects),
    need: draft.need,
    options: [
      { what: draft.what, operations: [...draft.operations] },
      ...(other === ''
        ? []
        : [
            {
              what: other,
              operations: [],
              ...(draft.whyNot === '' ? {} : { speaksAgainst: draft.whyNot }),
            },
          ]),
    ],
    chosen: 0,
    why: draft.why,
    materials: draft.materials
      .split(',')
      .map((name) => name.trim())
      .filter((name) => name !== ''),
    where: draft.where,
  };
}

function draftOf(line: ProposalLine): Draft {
  const chosen = line.options[line.chosen]!;
  const other = line.options.find((_, i) => i !== line.chosen);
  return {
    subjects: line.subjects.join(', '),
    need: line.need,
    what: chosen.what,
    operations: chosen.operations,
    other: other?.what ?? '',
    whyNot: other?.speaksAgainst ?? '',
    why: line.why,
    materials: line.materials.join(', '),
    where: line.where,
  };
}
