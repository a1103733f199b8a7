import { type SubmitEvent, useRef, useState } from 'react';
import { PERSON_KG } from '#libs/structure';
import type { Bench } from '../bench/use-bench.js';
import {
  describeMaterials,
  type Materials,
  type PanelWeight,
  readMaterials,
  readWeight,
} from '../platform/api/surveys.js';
import { Cautions } from '../platform/Cautions.js';
import { Figure, Why } from '../platform/figure/Figure.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { NumberField, numberGiven } from '../platform/NumberField.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { sayFixed } from '../platform/say-number.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { type FactRow, FactsTable } from './FactsTable.js';
import './survey.css';

/** What a panel weighs, how it is lifted, and what that was reckoned from. */
export function WeightRoom({ bench }: { bench: Bench }) {
  const { panelId, fullMark } = bench.panel;
  const top = useRef<HTMLDivElement>(null);
  const weight = useAnswer(panelId, (signal) => readWeight(panelId, signal));
  const materials = useAnswer(`materials ${panelId}`, (signal) => readMaterials(panelId, signal));
  return (
    <Shell mark={fullMark} sentence={<>{rich('what {b} weighs', { b: <b>{fullMark}</b> })}</>}>
      <div className="scroll" ref={top}>
        {weight.value === undefined || materials.value === undefined ? (
          <section className="paper">
            <p role={weight.why ? 'alert' : 'status'}>{weight.why ?? say('reckoning…')}</p>
          </section>
        ) : (
          <>
            <WeightPaper told={weight.value} mark={fullMark} />
            <MaterialsForm
              key={materials.value?.version ?? 'none'}
              panelId={panelId}
              before={materials.value}
              afterwards={() => {
                weight.again();
                materials.again();
                top.current?.scrollTo(0, 0);
              }}
            />
          </>
        )}
      </div>
    </Shell>
  );
}

function WeightPaper({ told, mark }: { told: PanelWeight; mark: string }) {
  const { weight, estimate, lifting, heat } = told;
  const kg = (value: number) => `${sayFixed(value, 2)} kg`;
  const source = {
    weighed: say('on a scale'),
    computed: say('computed from the lead drawing'),
    estimated: say('estimated from the area alone'),
  }[told.source];
  const rows: FactRow[] =
    weight === null
      ? [
          [
            told.source === 'weighed' ? say('by its area') : say('may be'),
            `${kg(estimate!.lowKg)} – ${kg(estimate!.highKg)}`,
            { kind: 'weight-area', inputs: [[say('reckoned with'), estimate!.from]] },
          ],
        ]
      : [
          [
            say('glass'),
            kg(weight.glassKg),
            {
              kind: 'weight-glass',
              inputs: [[say('measured'), `${sayFixed(weight.measuredGlassRatio * 100, 0)} %`]],
            },
          ],
          [
            say('lead'),
            kg(weight.leadKg),
            {
              kind: 'weight-lead',
              inputs: [[say('gauged'), `${sayFixed(weight.gaugedLeadRatio * 100, 0)} %`]],
            },
          ],
          [sayWord('solder', 'weight'), kg(weight.solderKg), { kind: 'weight-solder' }],
          [sayWord('cement', 'weight'), kg(weight.cementKg), { kind: 'weight-cement' }],
          [say('bars with it'), kg(weight.barsKg), { kind: 'weight-bars' }],
          [
            say('net sum'),
            kg(weight.netKg),
            {
              kind: 'weight-net',
              inputs: [
                [say('glass'), kg(weight.glassKg)],
                [say('lead'), kg(weight.leadKg)],
                [sayWord('solder', 'weight'), kg(weight.solderKg)],
                [sayWord('cement', 'weight'), kg(weight.cementKg)],
                [say('bars with it'), kg(weight.barsKg)],
              ],
            },
          ],
          [say('upper bound'), kg(weight.grossKg), { kind: 'weight-gross' }],
          [
            say('centre of weight'),
            say('{x} mm from the left, {y} mm from the top', {
              x: sayFixed(weight.centreMm[0] ?? 0, 0),
              y: sayFixed(weight.centreMm[1] ?? 0, 0),
            }),
            { kind: 'weight-centre' },
          ],
          [
            say('measured'),
            say('{glass} % of the glass, {lead} % of the lead', {
              glass: sayFixed(weight.measuredGlassRatio * 100, 0),
              lead: sayFixed(weight.gaugedLeadRatio * 100, 0),
            }),
            { kind: 'weight-measured' },
          ],
        ];
  return (
    <section className="paper stack" aria-label={say('Weight of {mark}', { mark })}>
      <div>
        <h1>
          <Figure kind="weight-total" of={say('what it weighs')} inputs={[[say('from'), source]]}>
            {kg(told.kg)}
          </Figure>
        </h1>
        <p className="sub">{source}</p>
      </div>
      <p role="status">{sayLifting(lifting)}</p>
      <FactsTable rows={rows} />
      <p className="hint">
        {say(
          'Warmer by {kelvin} K, {length} mm of lead grow {lead} mm and of glass {glass} mm: the lead has to give {difference} mm.',
          {
            kelvin: heat.warmerK,
            length: sayFixed(heat.lengthMm, 0),
            lead: sayFixed(heat.leadMm, 1),
            glass: sayFixed(heat.glassMm, 1),
            difference: sayFixed(heat.differenceMm, 1),
          },
        )}{' '}
        <Why
          kind="heat-growth"
          of={say('growth in the sun')}
          inputs={[[say('warmer by'), `${heat.warmerK} K`]]}
        />
      </p>
      <details className="how">
        <summary>{say('How this was reckoned')}</summary>
        <ul className="formulas">
          {(weight?.formulas ?? [estimate!.from]).map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      </details>
      <Cautions keys={['lifting', 'broken-glass']} />
    </section>
  );
}

function sayLifting({ people, needsGear }: PanelWeight['lifting']): string {
  if (needsGear)
    return say('more than {limit} kg: by lifting gear, not by hand', { limit: 2 * PERSON_KG });
  return people > 2
    ? say('more than {limit} kg: four people or a lifting aid, on edge, on a board', {
        limit: PERSON_KG,
      })
    : say('two people, on edge, on a board');
}

/** What was gauged and weighed. All of it is sent again each time; what was said before stays in the ledger. */
function MaterialsForm({
  panelId,
  before,
  afterwards,
}: {
  panelId: string;
  before: Materials;
  afterwards: () => void;
}) {
  const said = before?.said;
  const [glass, setGlass] = useState(said?.glass.layersMm?.join(' + ') ?? '');
  const [whole, setWhole] = useState(said?.weighedKg === undefined ? '' : String(said.weighedKg));
  const [cement, setCement] = useState(said ? String(said.cementRatio * 100) : '0');
  const { busy, why, run } = useAct();
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const layersMm =
        glass.trim() === '' ? [] : glass.split('+').map((part) => numberGiven(part) ?? 0);
      const weighedKg = numberGiven(whole);
      await describeMaterials(
        panelId,
        {
          pieces: said?.pieces ?? {},
          profiles: said?.profiles ?? [],
          bars: said?.bars ?? [],
          solderRatio: said?.solderRatio ?? 1,
          ...(said?.note === undefined ? {} : { note: said.note }),
          glass: {
            ...(said?.glass.densityGCm3 === undefined
              ? {}
              : { densityGCm3: said.glass.densityGCm3 }),
            ...(layersMm.length === 0 ? {} : { layersMm }),
          },
          cementRatio: (numberGiven(cement) ?? 0) / 100,
          ...(weighedKg === undefined ? {} : { weighedKg }),
          happened: today(),
        },
        before?.version ?? null,
      );
      afterwards();
    });
  };
  return (
    <form className="paper stack" onSubmit={record} aria-label={say('What was gauged and weighed')}>
      <h2>{say('What was gauged and weighed')}</h2>
      <NumberField
        label={say('Glass, mm')}
        value={glass}
        onValue={setGlass}
        hint={say('3, or 3 + 2 where it is plated throughout; empty: 3 mm is taken as usual')}
      />
      <NumberField
        label={say('The whole panel on a scale, kg')}
        value={whole}
        onValue={setWhole}
        hint={say('counts before the sum')}
      />
      <NumberField label={say('Cement, % of the rest')} value={cement} onValue={setCement} />
      <Refusal why={why} />
      <p className="row">
        <button type="submit" disabled={busy}>
          {say('Record what was gauged')}
        </button>
      </p>
    </form>
  );
}
