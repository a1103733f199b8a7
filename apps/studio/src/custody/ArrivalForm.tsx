import { type SubmitEvent, useState } from 'react';
import { CUSTODY_CONDITIONS, type CustodyCondition, readThing } from '#libs/custody';
import type { Movement, receive } from '../platform/api/custody.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';

type Body = Parameters<typeof receive>[1];

export const conditionWords = (condition: CustodyCondition): string =>
  ({
    sound: say('as it should be'),
    disturbed: say('disturbed'),
    broken: say('broken'),
    missing: say('not there'),
  })[condition];

/** Each thing on arrival against how it left. Nothing is taken for sound that nobody looked at. */
export function ArrivalForm({
  movement,
  onSigned,
}: {
  movement: Movement;
  onSigned: (body: Body) => Promise<void>;
}) {
  const [found, setFound] = useState<Readonly<Record<string, CustodyCondition>>>({});
  const [notes, setNotes] = useState<Readonly<Record<string, string>>>({});
  const [isUnpacked, setUnpacked] = useState(movement.crateIds.length > 0);
  const [role, setRole] = useState('');
  const { busy, why, run } = useAct();
  const left = movement.carries.filter(({ key }) => found[key] === undefined).length;
  const sign = (event: SubmitEvent) => {
    event.preventDefault();
    const seen = movement.carries.flatMap(({ key }) => {
      const condition = found[key];
      if (condition === undefined) return [];
      const note = notes[key];
      return [{ ...thingBody(key), condition, images: [], ...(note ? { note } : {}) }];
    });
    void run(() =>
      onSigned({
        seen,
        happened: today(),
        ...(role === '' ? {} : { byRole: role }),
        ...(isUnpacked ? { unpackedTo: { kind: 'bench' } } : {}),
      }),
    );
  };
  return (
    <form onSubmit={sign} aria-label={say('What came, and how')}>
      {movement.carries.map(({ key, departed, crate }) => (
        <div key={key} className="arrival">
          <OneOf
            legend={
              departed === null
                ? say('{thing}: nobody said how it left', { thing: key })
                : say('{thing}: left {how}', { thing: key, how: conditionWords(departed) })
            }
            options={CUSTODY_CONDITIONS}
            value={found[key] ?? null}
            onValue={(condition) => {
              setFound({ ...found, [key]: condition });
            }}
            words={conditionWords}
          />
          {crate?.slot ? (
            <small>
              {say('crate {crate}, slot {slot}', { crate: crate.mark, slot: crate.slot })}
            </small>
          ) : null}
          {found[key] !== undefined && found[key] !== 'sound' ? (
            <TextField
              label={say('What is to be seen')}
              value={notes[key] ?? ''}
              onValue={(value) => {
                setNotes({ ...notes, [key]: value });
              }}
            />
          ) : null}
        </div>
      ))}
      {movement.crateIds.length > 0 ? (
        <label className="check">
          <input
            type="checkbox"
            checked={isUnpacked}
            onChange={(event) => {
              setUnpacked(event.target.checked);
            }}
          />
          {say('unpacked, on the bench')}
        </label>
      ) : null}
      <TextField label={say('In which role you sign')} value={role} onValue={setRole} />
      <p className="hint" aria-live="polite">
        {left === 0
          ? say('Every thing was looked at.')
          : say('{left, plural, one {# thing} other {# things}} not looked at yet.', { left })}
      </p>
      <Refusal why={why} />
      <button type="submit" className="act wide" disabled={busy}>
        {say('I have received this')}
      </button>
    </form>
  );
}

/** A thing as bodies name it. */
export function thingBody(key: string): { mark: string; sample?: string } {
  const { mark, sample } = readThing(key);
  return sample === null ? { mark } : { mark, sample };
}
