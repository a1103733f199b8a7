import { type SubmitEvent, useState } from 'react';
import {
  countMaterial,
  enterMaterial,
  type Material,
  readMaterials,
} from '../platform/api/works.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';

const BLANK = { name: '', maker: '', batch: '', expires: '', unit: 'g', quantity: '' };

/** The studio's materials: what came in, what is left, until when it is good. */
export function MaterialsPaper() {
  const register = useAnswer('materials', readMaterials);
  const [said, setSaid] = useState(BLANK);
  const { busy, why, field, run } = useAct();
  const enter = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const { name, unit, quantity, maker, batch, expires } = said;
      await enterMaterial({
        name,
        unit,
        quantity: quantity.trim().replace(',', '.'),
        ...(maker === '' ? {} : { maker }),
        ...(batch === '' ? {} : { batch }),
        ...(expires === '' ? {} : { expires }),
      });
      setSaid(BLANK);
      register.again();
    });
  };
  const text = (label: string, member: keyof typeof BLANK, hint?: string, isNeeded = false) => (
    <TextField
      label={label}
      hint={hint}
      required={isNeeded}
      inputMode={member === 'quantity' ? 'decimal' : 'text'}
      aria-invalid={field === member}
      value={said[member]}
      onValue={(value) => {
        setSaid({ ...said, [member]: value });
      }}
    />
  );
  return (
    <>
      <section className="paper" aria-label={say('Materials')}>
        <h1>{say('Materials')}</h1>
        <p className="sub">{say('a batch each, with what is left by the books')}</p>
        {register.why ? <p role="alert">{register.why}</p> : null}
        {register.value?.length === 0 ? <p>{say('The register is empty.')}</p> : null}
        <ul className="lines">
          {(register.value ?? []).map((one) => (
            <BatchLine key={one.materialId} batch={one} afterwards={register.again} />
          ))}
        </ul>
      </section>
      <form className="paper stack" onSubmit={enter} aria-label={say('Enter a batch')}>
        <h2>{say('Enter a batch')}</h2>
        {text(say('Generic name'), 'name', say('epoxy resin, two parts'), true)}
        <div className="two">
          {text(say('Maker and product'), 'maker', say('as on the tin'))}
          {text(say('Batch'), 'batch')}
        </div>
        <div className="two">
          {text(say('How much came in'), 'quantity', '', true)}
          {text(say('Unit'), 'unit', 'g, ml, m', true)}
          {text(say('Good until'), 'expires', '2027-01')}
        </div>
        <Refusal why={why} />
        <div className="row">
          <button type="submit" disabled={busy}>
            {say('Enter it')}
          </button>
        </div>
      </form>
    </>
  );
}

function BatchLine({ batch, afterwards }: { batch: Material; afterwards: () => void }) {
  const [counted, setCounted] = useState<string | null>(null);
  const { busy, why, run } = useAct();
  const isPast = batch.expires !== null && batch.expires.slice(0, 10) < today();
  const count = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await countMaterial(batch.materialId, {
        quantity: (counted ?? '').trim().replace(',', '.'),
        isRetired: false,
      });
      setCounted(null);
      afterwards();
    });
  };
  return (
    <li>
      <span>
        <b>{batch.name}</b>
        <small className="quiet-line">
          {[batch.maker, batch.batch === null ? null : say('batch {batch}', { batch: batch.batch })]
            .filter((part) => part !== null)
            .join(', ')}
          {batch.expires === null
            ? ''
            : isPast
              ? say('; past its date, {expires}', { expires: batch.expires })
              : say('; good until {expires}', { expires: batch.expires })}
        </small>
        {counted === null ? null : (
          <form className="row" onSubmit={count}>
            <input
              aria-label={say('Counted, {unit}', { unit: batch.unit })}
              inputMode="decimal"
              required
              value={counted}
              onChange={(event) => {
                setCounted(event.target.value);
              }}
            />
            <button type="submit" className="quiet" disabled={busy}>
              {say('That is what is there')}
            </button>
            <Refusal why={why} />
          </form>
        )}
      </span>
      <span>
        {batch.left} {batch.unit}{' '}
        {counted === null ? (
          <button
            type="button"
            className="word"
            onClick={() => {
              setCounted('');
            }}
          >
            {say('count')}
          </button>
        ) : null}
      </span>
    </li>
  );
}
