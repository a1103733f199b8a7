import { type SubmitEvent, useState } from 'react';
import {
  type Crate,
  handOver,
  type Movement,
  readOpenMovements,
  receive,
  recordMovement,
} from '../platform/api/custody.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { ArrivalForm, thingBody } from './ArrivalForm.js';

/** Crates into other hands, and what comes: each side signs for itself. */
export function HandsPaper({
  siteId,
  crates,
  afterwards,
}: {
  siteId: string;
  crates: readonly Crate[];
  afterwards: () => void;
}) {
  const open = useAnswer(`open ${siteId}`, (signal) => readOpenMovements(siteId, signal));
  const again = () => {
    open.again();
    afterwards();
  };
  return (
    <>
      <Send siteId={siteId} crates={crates} afterwards={again} />
      <h2>{say('Not yet received')}</h2>
      {open.value?.length === 0 ? <p>{say('Nothing is on its way.')}</p> : null}
      {open.why ? <p role="alert">{open.why}</p> : null}
      {open.value?.map((movement) => (
        <OnItsWay
          key={movement.movementId}
          movement={movement}
          crates={crates}
          afterwards={again}
        />
      ))}
    </>
  );
}

function Send({
  siteId,
  crates,
  afterwards,
}: {
  siteId: string;
  crates: readonly Crate[];
  afterwards: () => void;
}) {
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const [role, setRole] = useState('');
  const [place, setPlace] = useState('');
  const { busy, why, run } = useAct();
  const send = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const { movementId } = await recordMovement(siteId, {
        crateIds: [...chosen],
        to: { kind: 'holder', role, ...(place === '' ? {} : { place }) },
        happened: today(),
      });
      const seen = crates
        .filter(({ crateId }) => chosen.includes(crateId))
        .flatMap(({ holds }) => holds)
        .map(({ key }) => ({ ...thingBody(key), condition: 'sound' as const, images: [] }));
      await handOver(movementId, { seen, happened: today() });
      setChosen([]);
      afterwards();
    });
  };
  const full = crates.filter(({ holds }) => holds.length > 0);
  return (
    <form onSubmit={send} aria-label={say('Give crates away')}>
      <fieldset className="field">
        <legend>{say('Crates that leave')}</legend>
        {full.length === 0 ? <p>{say('No crate has anything in it.')}</p> : null}
        <div className="taps">
          {full.map(({ crateId, mark, holds }) => (
            <button
              key={crateId}
              type="button"
              className="quiet"
              aria-pressed={chosen.includes(crateId)}
              onClick={() => {
                setChosen(
                  chosen.includes(crateId)
                    ? chosen.filter((id) => id !== crateId)
                    : [...chosen, crateId],
                );
              }}
            >
              {say('crate {crate} ({held})', { crate: mark, held: holds.length })}
            </button>
          ))}
        </div>
      </fieldset>
      <TextField
        label={say('To whom')}
        hint={say('their role: carrier, painter, laboratory')}
        required
        value={role}
        onValue={setRole}
      />
      <TextField label={say('Where they keep it')} value={place} onValue={setPlace} />
      <Refusal why={why} />
      <button type="submit" className="act wide" disabled={busy || chosen.length === 0}>
        {say('I give these away as they should be')}
      </button>
    </form>
  );
}

function OnItsWay({
  movement,
  crates,
  afterwards,
}: {
  movement: Movement;
  crates: readonly Crate[];
  afterwards: () => void;
}) {
  const [isArriving, setArriving] = useState(false);
  const names = movement.crateIds.map(
    (id) => crates.find(({ crateId }) => crateId === id)?.mark ?? '',
  );
  const what =
    names.length > 0
      ? say('crate {crate}', { crate: names.join(', ') })
      : movement.things.join(', ');
  const to = movement.to.kind === 'holder' ? movement.to.role : '';
  return (
    <article className="way">
      <p>
        <b>{what}</b>{' '}
        {movement.passing === 'due'
          ? say('to the {to}: the sender has not signed', { to })
          : say('to the {to}: given away, not received', { to })}
      </p>
      {isArriving ? (
        <ArrivalForm
          movement={movement}
          onSigned={async (body) => {
            await receive(movement.movementId, body);
            afterwards();
          }}
        />
      ) : (
        <button
          type="button"
          className="quiet wide"
          onClick={() => {
            setArriving(true);
          }}
        >
          {say('It is here: look at each thing')}
        </button>
      )}
    </article>
  );
}
