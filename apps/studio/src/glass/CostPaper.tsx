import { type SubmitEvent, useState } from 'react';
import { estimated } from '#libs/estimate';
import { sayMoney } from '../estimate/say-money.js';
import { type EstimateBody, estimateFile, writeEstimate } from '../platform/api/estimates.js';
import { type CostLine, type CutCost } from '../platform/api/glass.js';
import type { Campaign } from '../platform/api/works.js';
import { Field } from '../platform/Field.js';
import { Why } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { type CostTyped, costBody } from './cost-body.js';

/** What it costs: prices of the register, hours as typed, kept as an estimate of a campaign. */
export function CostPaper({
  mark,
  siteMark,
  cost,
  campaigns,
  currency,
  onCurrency,
}: {
  mark: string;
  siteMark: string;
  cost: CutCost;
  campaigns: readonly Campaign[];
  currency: string;
  onCurrency: (currency: string) => void;
}) {
  const [typed, setTyped] = useState<Omit<CostTyped, 'currency'>>({
    perHour: '',
    contingencyPercent: '10',
    minutes: {},
    prices: {},
  });
  const [campaignId, setCampaignId] = useState(campaigns[0]?.campaignId ?? '');
  const [kept, setKept] = useState<string | null>(null);
  const { busy, why, run } = useAct();
  const body = tryBody(cost, { ...typed, currency }, mark);
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const { estimateId } = await writeEstimate(
        campaignId,
        costBody(cost, { ...typed, currency }, say('New work, {mark}', { mark })),
      );
      setKept(estimateId);
    });
  };
  const unpriced = cost.bySheet.filter(
    ({ kind, pricePerUnit }) => kind !== 'work' && !pricePerUnit,
  );
  const work = cost.bySheet.filter(({ kind }) => kind === 'work');
  return (
    <form className="paper stack" onSubmit={keep} aria-label={say('What it costs')}>
      <div>
        <h2>
          {say('What it costs')} <Why kind="cut-cost" of={say('What it costs')} />
        </h2>
        <p className="sub">
          {say('An estimate and no invoice. It is never part of a dossier that is handed out.')}
        </p>
      </div>
      <div className="two">
        <NumberField
          label={say('An hour of work')}
          value={typed.perHour}
          onValue={(perHour) => {
            setTyped({ ...typed, perHour });
          }}
        />
        <TextField
          label={say('Currency')}
          value={currency}
          maxLength={3}
          onValue={(code) => {
            onCurrency(code.toUpperCase());
          }}
        />
      </div>
      <NumberField
        label={say('For what nobody foresees, %')}
        value={typed.contingencyPercent}
        onValue={(contingencyPercent) => {
          setTyped({ ...typed, contingencyPercent });
        }}
      />
      {work.map((line) => (
        <NumberField
          key={line.what}
          label={say('{what}: minutes for one {unit}', {
            what: workWord(line.what),
            unit: unitWord(line.unit),
          })}
          hint={say('{quantity} of them', { quantity: line.quantity })}
          value={typed.minutes[line.what] ?? ''}
          onValue={(text) => {
            setTyped({ ...typed, minutes: { ...typed.minutes, [line.what]: text } });
          }}
        />
      ))}
      {unpriced.map((line) => (
        <NumberField
          key={line.what}
          label={say('{what}: price for one {unit}', {
            what: line.what,
            unit: unitWord(line.unit),
          })}
          hint={say('{quantity} of them; the register has no price in {currency}', {
            quantity: line.quantity,
            currency,
          })}
          value={typed.prices[line.what] ?? ''}
          onValue={(text) => {
            setTyped({ ...typed, prices: { ...typed.prices, [line.what]: text } });
          }}
        />
      ))}
      {body === null ? null : <Sums body={body} />}
      {campaigns.length === 0 ? (
        <p>
          {say('An estimate belongs to a campaign.')}{' '}
          <Go className="word" to={pathOf(siteMark, 'works')}>
            {say('begin one')}
          </Go>
        </p>
      ) : (
        <Field label={say('Campaign')}>
          {(ids) => (
            <select
              {...ids}
              value={campaignId}
              onChange={({ target }) => {
                setCampaignId(target.value);
              }}
            >
              {campaigns.map((one) => (
                <option key={one.campaignId} value={one.campaignId}>
                  {one.title}
                </option>
              ))}
            </select>
          )}
        </Field>
      )}
      <Refusal why={why} />
      <p className="row">
        <button type="submit" className="act" disabled={busy || campaignId === '' || body === null}>
          {say('Keep it as an estimate')}
        </button>
        {kept === null ? null : (
          <span role="status">
            {say('Kept.')}{' '}
            <a className="word" href={estimateFile(kept)} download>
              {say('PDF, A4')}
            </a>
          </span>
        )}
      </p>
    </form>
  );
}

function Sums({ body }: { body: EstimateBody }) {
  const sums = body.alternatives.map((one) =>
    estimated(
      {
        ...one,
        lines: one.lines.map((line) => ({ ...line, pricePerUnit: line.pricePerUnit ?? '0' })),
      },
      body.terms,
    ),
  );
  return (
    <table className="facts">
      <tbody>
        {sums.map(({ name, net, total }) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>
              {say('{net}, with what nobody foresees {total}', {
                net: sayMoney(net.likely, body.terms.currency),
                total: sayMoney(total.likely, body.terms.currency),
              })}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Null while what is typed is no number or no currency yet. */
function tryBody(cost: CutCost, typed: CostTyped, title: string): EstimateBody | null {
  try {
    const body = costBody(cost, typed, title);
    for (const { name, lines } of body.alternatives) {
      const priced = lines.map((line) => ({ ...line, pricePerUnit: line.pricePerUnit ?? '0' }));
      estimated({ name, lines: priced }, body.terms);
    }
    return body;
  } catch {
    return null;
  }
}

/** The archive's words for the work, in the reader's language. */
function workWord(what: string): string {
  const words: Readonly<Record<string, string>> = {
    'Choose, cut and groze': say('Choose, cut and groze'),
    Assemble: say('Assemble'),
    Solder: say('Solder'),
    'Cement and clean': say('Cement and clean'),
  };
  return words[what] ?? what;
}

function unitWord(unit: CostLine['unit']): string {
  const words: Readonly<Record<string, string>> = {
    piece: say('piece'),
    joint: say('joint'),
    sheet: say('sheet'),
  };
  return words[unit] ?? unit;
}
