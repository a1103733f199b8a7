import { type SubmitEvent, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { readOperations } from '../platform/api/findings.js';
import type { Kept } from '../platform/api/shards.js';
import { readMaterials, recordWork } from '../platform/api/works.js';
import { Cautions } from '../platform/Cautions.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { MaterialChoice, materialSaid, noMaterial } from '../works/MaterialChoice.js';

/** What the shards were bonded with, on the piece; the length comes from the kept joints. */
export function BondForm({ bench, piece, kept }: { bench: Bench; piece: string; kept: Kept }) {
  const { me } = useSession();
  const operations = useAnswer('operations', readOperations).value ?? [];
  const bonds = operations.filter(
    ({ operation }) => operation.startsWith('bond.') || operation === 'foil',
  );
  const [operation, setOperation] = useState('');
  const register = useAnswer('materials', readMaterials).value ?? [];
  const [material, setMaterial] = useState(noMaterial);
  const [lengthMm, setLengthMm] = useState(String(Math.round(kept.jointMm)));
  const [byText, setByText] = useState(me.displayName);
  const [happened, setHappened] = useState(today());
  const [done, setDone] = useState(false);
  const { busy, why, run } = useAct();
  const chosen = bonds.find((one) => one.operation === operation);
  const batch = register.find(({ materialId }) => materialId === material.from);
  const past = batch?.expires != null && batch.expires.slice(0, 10) < happened.slice(0, 10);
  const length = readNumber(lengthMm);
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await recordWork(bench.panel.siteId, {
        subjects: [`${bench.panel.fullMark}.${piece}`],
        operation,
        happened,
        materials: materialSaid(material),
        ...(byText.trim() === '' ? {} : { byText }),
        ...(length === undefined
          ? {}
          : { detail: { bondLengthMm: length, joints: kept.joints.length } }),
      });
      setDone(true);
    });
  };
  return (
    <form className="stack describe" onSubmit={record} aria-label={say('Record the bond')}>
      <h3>{say('Record the bond')}</h3>
      {bonds.length === 0 ? null : (
        <OneOf
          legend={say('Bonded with')}
          options={bonds.map((one) => one.operation)}
          value={operation === '' ? null : operation}
          onValue={(next) => {
            setOperation(next);
            setDone(false);
          }}
          words={(key) => bonds.find((one) => one.operation === key)?.label ?? key}
        />
      )}
      {chosen ? <p className="hint">{chosen.definition}</p> : null}
      <MaterialChoice register={register} value={material} onValue={setMaterial} />
      {past ? (
        <p role="alert">
          {say('{material} was good until {expires}. Use a batch in date, or say in a note why.', {
            material: batch.name,
            expires: batch.expires ?? '',
          })}
        </p>
      ) : null}
      <div className="two">
        <NumberField
          label={say('Length of bond, mm')}
          value={lengthMm}
          onValue={setLengthMm}
          hint={say('from the kept joints')}
        />
        <TextField
          label={say('On which day')}
          hint="2026-05-04, 2019, 1998~"
          required
          value={happened}
          onValue={setHappened}
        />
      </div>
      <TextField label={say('By')} value={byText} onValue={setByText} />
      {chosen ? <Cautions keys={chosen.cautions.map(({ key }) => key)} /> : null}
      <Refusal why={why} />
      <p className="row">
        <button type="submit" disabled={busy || done || chosen === undefined}>
          {say('Record the bond')}
        </button>
        {done ? <span role="status">{say('The bond is recorded.')}</span> : null}
      </p>
    </form>
  );
}
