import { type SubmitEvent, useState } from 'react';
import { mayDo } from '../platform/api/state.js';
import { giveConsent, type Proposal, recordLetter } from '../platform/api/works.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { sendScan } from './send-scan.js';

const decisions = ['given', 'refused'] as const;

/** The answer to a proposal: in the program by an approver, or as a letter that came. */
export function AnswerForms({
  proposal,
  afterwards,
}: {
  proposal: Proposal;
  afterwards: () => void;
}) {
  const { me } = useSession();
  const { siteId } = proposal;
  return (
    <>
      {mayDo(me, siteId, 'approver') ? (
        <details>
          <summary>{say('Answer it here')}</summary>
          <AnswerForm proposal={proposal} isLetter={false} afterwards={afterwards} />
        </details>
      ) : null}
      {mayDo(me, siteId, 'conservator') ? (
        <details>
          <summary>{say('A letter came')}</summary>
          <AnswerForm proposal={proposal} isLetter afterwards={afterwards} />
        </details>
      ) : null}
    </>
  );
}

function AnswerForm({
  proposal: { issueId, digest, siteId },
  isLetter,
  afterwards,
}: {
  proposal: Proposal;
  isLetter: boolean;
  afterwards: () => void;
}) {
  const [decision, setDecision] = useState<(typeof decisions)[number]>('given');
  const [said, setSaid] = useState({ by: '', forWhom: '', expires: '', conditions: '' });
  const [happened, setHappened] = useState(today());
  const [scan, setScan] = useState<File | null>(null);
  const { busy, why, run } = useAct();
  const answer = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const common = {
        decision,
        happened,
        lineNumbers: [],
        ...(said.expires === '' ? {} : { expires: said.expires }),
        conditions: said.conditions
          .split('\n')
          .map((text) => text.trim())
          .filter((text) => text !== '')
          .map((text) => ({ text: text.replace(/^!\s*/, ''), due: dueOf(text) })),
      };
      await (isLetter
        ? recordLetter(issueId, {
            ...common,
            by: said.by,
            ...(said.forWhom === '' ? {} : { forWhom: said.forWhom }),
            ...(scan === null ? {} : { mediaId: await sendScan(scan, siteId, happened) }),
          })
        : giveConsent(issueId, { ...common, digest }));
      afterwards();
    });
  };
  const text = (label: string, member: 'by' | 'forWhom' | 'expires', hint?: string) => (
    <TextField
      label={label}
      hint={hint}
      required={member === 'by'}
      value={said[member]}
      onValue={(value) => {
        setSaid({ ...said, [member]: value });
      }}
    />
  );
  return (
    <form
      className="stack"
      onSubmit={answer}
      aria-label={isLetter ? say('The letter') : say('The answer')}
    >
      <OneOf
        legend={say('The answer')}
        options={decisions}
        value={decision}
        onValue={setDecision}
        words={(one) => (one === 'given' ? say('consented') : say('refused'))}
      />
      {isLetter ? (
        <div className="two">
          {text(say('Who signed'), 'by')}
          {text(say('For whom'), 'forWhom', say('a body or an office, no name'))}
        </div>
      ) : null}
      <div className="two">
        <TextField
          label={say('Of which day')}
          hint="2026-03-04"
          required
          value={happened}
          onValue={setHappened}
        />
        {text(say('Good until'), 'expires', '2027-06')}
      </div>
      <TextField
        label={say('On condition that')}
        hint={say('one on each line; a ! before one that must be met before work begins')}
        rows={2}
        value={said.conditions}
        onValue={(value) => {
          setSaid({ ...said, conditions: value });
        }}
      />
      {isLetter ? (
        <Field
          label={say('Scan of the letter')}
          hint={say('A picture or PDF. Who may read this site can open it.')}
        >
          {(ids) => (
            <input
              {...ids}
              type="file"
              accept="image/*,application/pdf"
              onChange={(event) => {
                setScan(event.target.files?.[0] ?? null);
              }}
            />
          )}
        </Field>
      ) : null}
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy}>
          {isLetter ? say('Record the letter') : say('Give this answer')}
        </button>
      </div>
    </form>
  );
}

const dueOf = (text: string): 'before-work' | 'before-close' =>
  text.startsWith('!') ? 'before-work' : 'before-close';
