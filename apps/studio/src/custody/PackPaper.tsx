import { type SubmitEvent, useState } from 'react';
import {
  addCrate,
  type Crate,
  recordMovement,
  type SequenceStep,
  type Whereabouts,
} from '../platform/api/custody.js';
import { Cautions } from '../platform/Cautions.js';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { sayFixed } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';

/** Panels that are out, tapped into the next free slot of a crate. */
export function PackPaper({
  siteId,
  mark,
  windowId,
  crates,
  where,
  steps,
  afterwards,
}: {
  siteId: string;
  mark: string;
  windowId: string;
  crates: readonly Crate[];
  where: Whereabouts;
  steps: readonly SequenceStep[];
  afterwards: () => void;
}) {
  const [chosen, setChosen] = useState<string | null>(null);
  const { busy, why, run } = useAct();
  const crate = crates.find(({ crateId }) => crateId === chosen) ?? crates[0];
  const isOut = new Set(
    steps.filter(({ workState }) => workState !== 'in-place').map((step) => step.mark),
  );
  const loose = where.panels.filter((panel) => isOut.has(panel.mark) && panel.where.crate === null);
  const pack = (panelMark: string) => {
    if (crate === undefined) return;
    const slot = freeSlot(crate);
    void run(async () => {
      await recordMovement(siteId, {
        things: [{ mark: `${mark}.${panelMark}`, ...(slot === undefined ? {} : { slot }) }],
        to: { kind: 'crate', crateId: crate.crateId },
        happened: today(),
      });
      afterwards();
    });
  };
  return (
    <>
      {crates.length > 0 ? (
        <OneOf
          legend={say('Crate')}
          options={crates.map(({ crateId }) => crateId)}
          value={crate?.crateId ?? null}
          onValue={setChosen}
          words={(id) => crates.find(({ crateId }) => crateId === id)?.mark ?? ''}
        />
      ) : (
        <p>{say('There is no crate yet.')}</p>
      )}
      {crate ? (
        <div className="crate">
          <p aria-live="polite">
            <b>{say('crate {crate}', { crate: crate.mark })}</b>{' '}
            {say('{held} of {slots} slots, {kg} kg', {
              held: crate.holds.length,
              slots: crate.slots,
              kg: sayFixed(crate.load.totalKg, 1),
            })}
            <Why
              kind="crate-load"
              of={say('crate {crate}', { crate: crate.mark })}
              inputs={[[say('things in it'), String(crate.holds.length)]]}
            />
            {crate.load.unknown.length > 0
              ? `, ${say('and what nobody has weighed: {things}', { things: crate.load.unknown.join(', ') })}`
              : ''}
          </p>
          {crate.load.isOver ? (
            <p className="warn" role="alert">
              {say('Heavier than this crate may be. Take something out before it is lifted.')}
            </p>
          ) : null}
          <ol className="slots">
            {crate.holds.map(({ key, slot }) => (
              <li key={key}>
                {slot === null ? '' : `${slot}: `}
                {key}
              </li>
            ))}
          </ol>
          <p className="row also">
            <a
              className="word"
              href={`/v1/windows/${windowId}/labels.pdf?of=crate&crate=${encodeURIComponent(crate.mark)}&panels=${panelsIn(crate, mark).join(',')}`}
            >
              {say('label of this crate')}
            </a>
            <a
              className="word"
              href={`/v1/windows/${windowId}/labels.pdf?panels=${loose.map((panel) => panel.mark).join(',')}`}
            >
              {say('labels of the panels that are out')}
            </a>
          </p>
          <fieldset className="field">
            <legend>{say('Out and not packed: tap to pack')}</legend>
            {loose.length === 0 ? <p>{say('Everything that is out is packed.')}</p> : null}
            <div className="taps">
              {loose.map((panel) => (
                <button
                  key={panel.mark}
                  type="button"
                  className="quiet"
                  disabled={busy}
                  onClick={() => {
                    pack(panel.mark);
                  }}
                >
                  {panel.mark}
                </button>
              ))}
            </div>
          </fieldset>
          <details className="cautions">
            <summary>{say('Before it is lifted')}</summary>
            <Cautions keys={['lifting']} />
          </details>
        </div>
      ) : null}
      <Refusal why={why} />
      <AddCrate siteId={siteId} afterwards={afterwards} />
    </>
  );
}

function AddCrate({ siteId, afterwards }: { siteId: string; afterwards: () => void }) {
  const [mark, setMark] = useState('');
  const [slots, setSlots] = useState('6');
  const { busy, why, run } = useAct();
  const add = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await addCrate(siteId, { mark, slots: Number(slots) });
      setMark('');
      afterwards();
    });
  };
  return (
    <form className="row add-crate" onSubmit={add} aria-label={say('Add a crate')}>
      <TextField
        label={say('Another crate: what is written on it')}
        required
        maxLength={24}
        value={mark}
        onValue={setMark}
      />
      <TextField
        label={say('Slots')}
        required
        type="number"
        min={1}
        max={200}
        value={slots}
        onValue={setSlots}
      />
      <button type="submit" className="quiet" disabled={busy}>
        {say('Add a crate')}
      </button>
      <Refusal why={why} />
    </form>
  );
}

/** The first slot that nothing stands in; undefined when the crate is full. */
function freeSlot({ slots, holds }: Crate): string | undefined {
  const taken = new Set(holds.map(({ slot }) => slot));
  return Array.from({ length: slots }, (_, i) => String(i + 1)).find((slot) => !taken.has(slot));
}

const panelsIn = ({ holds }: Crate, mark: string): string[] =>
  holds
    .filter(({ key }) => key.startsWith(`${mark}.`))
    .map(({ key }) => key.slice(mark.length + 1).split('.')[0]!);
