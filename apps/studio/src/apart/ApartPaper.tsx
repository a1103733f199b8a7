import { type SubmitEvent, useState } from 'react';
import { leadRows } from '#libs/custody';
import type { Bench } from '../bench/use-bench.js';
import { ListOnPaper } from '../custody/ListOnPaper.js';
import { type DismantlingBody, recordDismantling, type WorkStep } from '../platform/api/custody.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { GaugeForm } from './GaugeForm.js';
import { GaugesTable } from './GaugesTable.js';

type Gauges = NonNullable<DismantlingBody['gauges']>;

/** What the old lead and the old putty were: samples kept, sections gauged at cut ends. */
export function ApartPaper({
  bench,
  steps,
  allLifted,
  afterwards,
}: {
  bench: Bench;
  steps: readonly WorkStep[];
  allLifted: boolean;
  afterwards: () => void;
}) {
  const { panel, net } = bench;
  const [gauges, setGauges] = useState<Gauges>([]);
  const [putty, setPutty] = useState<'none' | 'soaked' | 'dry' | null>(null);
  const [tested, setTested] = useState<'free-of-asbestos' | 'holds-asbestos' | 'not-tested' | null>(
    null,
  );
  const [sample, setSample] = useState('');
  const [sampleLead, setSampleLead] = useState('');
  const [noSample, setNoSample] = useState('');
  const { busy, why, run } = useAct();
  const before = steps.filter(({ kind }) => kind === 'dismantle');
  // Steps come newest first; of a width the last reading counts.
  const known = before.toReversed().flatMap(({ detail, happened, recordedAt }) =>
    ((detail['gauges'] ?? []) as Gauges).map((gauge) => ({
      ...gauge,
      on: happened ?? recordedAt.slice(0, 10),
    })),
  );
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await recordDismantling(panel.panelId, {
        allPieces: allLifted,
        seen: [],
        gauges,
        images: [],
        ...(putty === null ? {} : { putty: { state: putty, tested: tested ?? 'not-tested' } }),
        ...(sample !== ''
          ? {
              cameSample: {
                kept: true as const,
                name: sample,
                ...(sampleLead === '' ? {} : { leadId: sampleLead }),
              },
            }
          : noSample === ''
            ? {}
            : { cameSample: { kept: false as const, because: noSample } }),
        happened: today(),
      });
      setGauges([]);
      afterwards();
    });
  };
  return (
    <form
      className="paper stack apart"
      aria-label={say('Old lead and putty of {mark}', { mark: panel.fullMark })}
      onSubmit={keep}
    >
      <h1>{say('Old lead and putty')}</h1>
      <ListOnPaper of={{ panelId: panel.panelId }} list="dismantling" />
      <GaugesTable rows={leadRows(net)} gauges={[...known, ...gauges]} waiting={gauges.length} />
      <GaugeForm
        rows={leadRows(net)}
        onGauge={(gauge) => {
          setGauges([...gauges, gauge]);
        }}
      />
      <div className="two">
        <TextField
          label={say('Sample of the old came: its number')}
          placeholder="C1"
          value={sample}
          onValue={setSample}
        />
        <TextField
          label={say('From the lead')}
          placeholder="L12"
          value={sampleLead}
          onValue={setSampleLead}
        />
      </div>
      {sample === '' ? (
        <TextField label={say('Or why none is kept')} value={noSample} onValue={setNoSample} />
      ) : null}
      <OneOf
        legend={say('The putty was')}
        options={['none', 'soaked', 'dry'] as const}
        value={putty}
        onValue={setPutty}
        words={(one) => ({ none: say('none'), soaked: say('soaked'), dry: say('taken dry') })[one]}
      />
      {putty === null || putty === 'none' ? null : (
        <OneOf
          legend={say('Tested for asbestos')}
          options={['free-of-asbestos', 'holds-asbestos', 'not-tested'] as const}
          value={tested}
          onValue={setTested}
          words={(one) =>
            ({
              'free-of-asbestos': say('none in it'),
              'holds-asbestos': say('holds it'),
              'not-tested': say('not tested: treat it as holding it'),
            })[one]
          }
        />
      )}
      <Refusal why={why} />
      <button type="submit" className="act" disabled={busy}>
        {allLifted ? say('It is apart: keep this') : say('Keep what was found so far')}
      </button>
      {before.length === 0 ? null : (
        <p role="status">
          {say('{count, plural, one {# statement} other {# statements}} in the archive.', {
            count: before.length,
          })}
        </p>
      )}
    </form>
  );
}
