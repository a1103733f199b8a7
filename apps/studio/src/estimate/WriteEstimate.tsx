import { type SubmitEvent, useMemo, useState } from 'react';
import { type Estimated, estimated } from '#libs/estimate';
import { type Estimate, type Quantities, writeEstimate } from '../platform/api/estimates.js';
import { type Operation, operationLabel } from '../platform/api/findings.js';
import type { Campaign } from '../platform/api/works.js';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { sayHours } from '../works/say-hours.js';
import { AlternativeFields } from './AlternativeFields.js';
import { atStage, bodyOf, type Draft, type DraftAlternative, draftOf, nextKey } from './draft.js';
import { sayMoney, saySpread } from './say-money.js';

const MOST = 6;

/** An estimate is written: what comes out of it stands below while it is typed. */
export function WriteEstimate({
  campaign,
  before,
  told,
  operations,
  onLeave,
  afterwards,
}: {
  campaign: Campaign;
  before: Estimate | undefined;
  told: Quantities;
  operations: readonly Operation[];
  onLeave: () => void;
  afterwards: () => void;
}) {
  const [draft, setDraft] = useState(() =>
    draftOf(
      before,
      told.undrawn.panels === 0 && told.drawn.panels > 0 ? 'second' : 'first',
      campaign.title,
      told,
      (operation) => operationLabel(operations, operation),
    ),
  );
  const { busy, why, run } = useAct();
  const reckoned = useMemo(() => reckon(draft), [draft]);
  const change = (changed: Partial<Draft>) => {
    setDraft({ ...draft, ...changed });
  };
  const replace = (at: number, one: DraftAlternative) => {
    change({ alternatives: draft.alternatives.map((other, i) => (i === at ? one : other)) });
  };
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await writeEstimate(campaign.campaignId, bodyOf(draft));
      afterwards();
    });
  };
  const { currency } = draft;
  return (
    <form
      className="paper stack estimate-form"
      onSubmit={keep}
      aria-label={say('Write an estimate')}
    >
      <div>
        <h1>
          {say('Write an estimate')} <Why kind="estimate-hours" of={say('Write an estimate')} />
        </h1>
        <p className="sub">
          {say(
            'What the archive can count is filled in, with its range; change what you know better. Nothing here is an offer or an invoice.',
          )}
        </p>
      </div>
      <OneOf
        legend={say('Which one')}
        options={['first', 'second'] as const}
        value={draft.stage}
        words={(stage) =>
          stage === 'first' ? say('first, from areas') : say('second, from the drawings')
        }
        onValue={(stage) => {
          setDraft(atStage(draft, stage, told));
        }}
      />
      <TextField
        label={say('What it is called')}
        required
        value={draft.title}
        onValue={(title) => {
          change({ title });
        }}
      />
      <div className="two">
        <TextField
          label={say('Currency')}
          hint={say('a code of ISO 4217: EUR, GBP')}
          required
          pattern="[A-Za-z]{3}"
          maxLength={3}
          autoCapitalize="characters"
          spellCheck={false}
          value={currency}
          onValue={(typed) => {
            change({ currency: typed.toUpperCase() });
          }}
        />
        <NumberField
          label={say('An hour of work, {currency}', { currency })}
          value={draft.perHour}
          onValue={(perHour) => {
            change({ perHour });
          }}
        />
        <NumberField
          label={say('For what nobody foresees, %')}
          hint={say('said openly, as a line of its own')}
          value={draft.contingencyPercent}
          onValue={(contingencyPercent) => {
            change({ contingencyPercent });
          }}
        />
      </div>
      {draft.alternatives.map((one, at) => (
        <AlternativeFields
          key={one.key}
          one={one}
          reckoned={reckoned.alternatives?.[at]}
          stage={draft.stage}
          currency={currency}
          told={told}
          operations={operations}
          isChosen={at === draft.chosen}
          isOnly={draft.alternatives.length === 1}
          onChange={(next) => {
            replace(at, next);
          }}
          onChoose={() => {
            change({ chosen: at });
          }}
          onRemove={() => {
            change({
              alternatives: draft.alternatives.filter((_, i) => i !== at),
              chosen: draft.chosen > at ? draft.chosen - 1 : draft.chosen === at ? 0 : draft.chosen,
            });
          }}
        />
      ))}
      {draft.alternatives.length < MOST ? (
        <div className="row">
          <button
            type="button"
            className="quiet"
            onClick={() => {
              change({ alternatives: [...draft.alternatives, copyOf(draft.alternatives.at(-1)!)] });
            }}
          >
            {say('Another way beside it')}
          </button>
        </div>
      ) : null}
      <div className="estimate-bar" role="status">
        {reckoned.alternatives === null ? (
          <p className="refused">{reckoned.why}</p>
        ) : (
          reckoned.alternatives.map((one, at) => (
            <p key={at} className="figures">
              {one.name === '' ? say('without a name') : one.name}{' '}
              <b>{sayMoney(one.total.likely, currency)}</b>{' '}
              <small>
                {[saySpread(one.total, currency), sayHours(one.minutes.likely)]
                  .filter((part) => part !== null)
                  .join(', ')}
              </small>
            </p>
          ))
        )}
      </div>
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy || reckoned.alternatives === null}>
          {say('Keep this estimate')}
        </button>
        <button type="button" className="quiet" onClick={onLeave}>
          {say('Leave it')}
        </button>
      </div>
    </form>
  );
}

/** The same lines under another name: what differs is changed there. */
const copyOf = (one: DraftAlternative): DraftAlternative => ({
  key: nextKey(),
  name: '',
  lines: one.lines.map((line) => ({ ...line, key: nextKey() })),
});

type Reckoned =
  | { readonly alternatives: readonly Estimated[] }
  | { readonly alternatives: null; readonly why: string };

/** As the archive will reckon it, by the same code; or why it cannot yet. */
function reckon(draft: Draft): Reckoned {
  try {
    const { alternatives, terms } = bodyOf(draft);
    return {
      alternatives: alternatives.map(({ name, lines }) =>
        estimated(
          {
            name,
            lines: lines.map((line) => ({ ...line, pricePerUnit: line.pricePerUnit ?? '0' })),
          },
          terms,
        ),
      ),
    };
  } catch (error) {
    return { alternatives: null, why: error instanceof Error ? error.message : String(error) };
  }
}
