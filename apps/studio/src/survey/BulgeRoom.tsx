import { useRef, useState } from 'react';
import { type BulgeFigures, judgeBulge, USUAL_THRESHOLDS } from '#libs/structure';
import { STRUCTURAL_DEFERRAL } from '#libs/vocabulary';
import type { Bench } from '../bench/use-bench.js';
import { boxOf } from '../drawing/plane.js';
import {
  chartPath,
  type Deflection,
  type DeflectionChange,
  readChange,
  readDeflections,
} from '../platform/api/surveys.js';
import { Cautions } from '../platform/Cautions.js';
import { Why } from '../platform/figure/Figure.js';
import { useKept } from '../platform/kept-value.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { Shell } from '../platform/Shell.js';
import { sayFixed } from '../platform/say-number.js';
import { useAnswer } from '../platform/use-answer.js';
import { type FactRow, FactsTable } from './FactsTable.js';
import { ReadingsForm } from './ReadingsForm.js';
import './survey.css';

const isText = (value: unknown): value is string => typeof value === 'string';

/** How far a panel stands out of its plane: the newest readings, their chart, what moved, and new readings. */
export function BulgeRoom({ bench }: { bench: Bench }) {
  const { panelId, fullMark } = bench.panel;
  const found = useAnswer(panelId, (signal) => readDeflections(panelId, signal));
  const [chosen, setChosen] = useState<string | null>(null);
  const top = useRef<HTMLDivElement>(null);
  const standing = (found.value ?? []).filter(({ state }) => state === 'recorded');
  const shown = standing.find(({ deflectionId }) => deflectionId === chosen) ?? standing[0];
  return (
    <Shell
      mark={fullMark}
      sentence={<>{rich('how far {b} stands out', { b: <b>{fullMark}</b> })}</>}
    >
      <div className="scroll" ref={top}>
        {found.value === undefined ? (
          <section className="paper">
            <p role={found.why ? 'alert' : 'status'}>
              {found.why ?? say('fetching the readings…')}
            </p>
          </section>
        ) : (
          <>
            {shown === undefined ? (
              <section className="paper">
                <h1>{fullMark}</h1>
                <p>{say('Nobody has read this panel yet.')}</p>
              </section>
            ) : (
              <BulgePaper
                key={shown.deflectionId}
                shown={shown}
                all={standing}
                onChoose={setChosen}
              />
            )}
            <ReadingsForm
              panelId={panelId}
              sizeMm={sizeOf(bench)}
              afterwards={() => {
                setChosen(null);
                found.again();
                top.current?.scrollTo(0, 0);
              }}
            />
          </>
        )}
      </div>
    </Shell>
  );
}

function BulgePaper({
  shown,
  all,
  onChoose,
}: {
  shown: Deflection;
  all: readonly Deflection[];
  onChoose: (deflectionId: string) => void;
}) {
  const { figures } = shown;
  const [look, setLook] = useKept(
    'bulge look 1 in',
    String(1 / USUAL_THRESHOLDS.lookRatio),
    isText,
  );
  const [plan, setPlan] = useKept('bulge plan mm', String(USUAL_THRESHOLDS.planMm), isText);
  const change = useAnswer(`change ${shown.deflectionId}`, (signal) =>
    readChange(shown.deflectionId, signal),
  );
  const judged = judgeBulge(figures as unknown as BulgeFigures, {
    lookRatio: 1 / (readNumber(look) ?? 1 / USUAL_THRESHOLDS.lookRatio),
    planMm: readNumber(plan) ?? USUAL_THRESHOLDS.planMm,
  });
  const words = {
    within: say('within your limits'),
    'look-closely': say('look closely'),
    'plan-work': say('plan work'),
    'cannot-tell': say('the readings cannot tell it from the limit'),
  } as const;
  const one = (value: number) => sayFixed(value, 1);
  const stands: Pick<FactRow[2], 'inputs' | 'entry'> = {
    inputs: [
      [say('readings'), String(figures.readings)],
      [say('scatter'), `${one(figures.noiseMm)} mm`],
      [say('read on'), shown.happened],
    ],
  };
  const rows: FactRow[] = [
    [
      say('farthest out'),
      say('{rise} mm ± {off}, {side}', {
        rise: one(Math.abs(figures.maximumMm.value)),
        off: one(2 * figures.maximumMm.sigma),
        side: figures.maximumMm.value < 0 ? say('towards the outside') : say('towards the inside'),
      }),
      { kind: 'bulge-rise', ...stands },
    ],
    [
      say('at'),
      say('{x} mm from the left, {y} mm from the top', {
        x: sayFixed(figures.atMm[0] ?? 0, 0),
        y: sayFixed(figures.atMm[1] ?? 0, 0),
      }),
      { kind: 'bulge-place', ...stands },
    ],
    [
      say('steepest'),
      `${one(figures.slopeDeg.value)}° ± ${one(2 * figures.slopeDeg.sigma)}`,
      { kind: 'bulge-slope', ...stands },
    ],
    [
      say('tightest curve'),
      figures.radiusMm === null
        ? say('not told apart from flat')
        : say('radius {radius} mm ± {off}', {
            radius: sayFixed(figures.radiusMm.value, 0),
            off: sayFixed(2 * figures.radiusMm.sigma, 0),
          }),
      { kind: 'bulge-radius', ...stands },
    ],
    ...figures.lines.map(
      ({ direction, chordMm, sagittaMm, extraMm }): FactRow => [
        direction === 'across' ? say('across') : say('up'),
        say('{rise} mm over {chord} mm, {extra} mm ± {off} longer than straight', {
          rise: one(Math.abs(sagittaMm.value)),
          chord: sayFixed(chordMm, 0),
          extra: sayFixed(extraMm.value, 2),
          off: sayFixed(2 * extraMm.sigma, 2),
        }),
        { kind: 'bulge-line', ...stands },
      ],
    ),
    [
      say('readings'),
      figures.noiseMm > figures.statedNoiseMm * 1.01
        ? say('{count}, off by {seen} mm, more than the {stated} mm that were said', {
            count: figures.readings,
            seen: one(figures.noiseMm),
            stated: one(figures.statedNoiseMm),
          })
        : say('{count}, off by {stated} mm', {
            count: figures.readings,
            stated: one(figures.statedNoiseMm),
          }),
      { kind: 'bulge-readings' },
    ],
  ];
  return (
    <section className="paper wide stack" aria-label={say('The bulge')}>
      <div>
        <h1>{words[judged.word]}</h1>
        <p className="sub">
          {say('read on {day}, over the plane of the panel’s edges', { day: shown.happened })}
        </p>
      </div>
      <div className="bulge">
        <img
          src={chartPath(shown.deflectionId)}
          alt={say('Contours of the bulge on the panel; the figures stand beside it.')}
        />
        <div className="stack">
          <FactsTable rows={rows} />
          <ChangeWords change={change.value} why={change.why} />
        </div>
      </div>
      {all.length > 1 ? (
        <p className="row also">
          {all.map(({ deflectionId, happened }) => (
            <button
              key={deflectionId}
              type="button"
              className="quiet"
              aria-pressed={deflectionId === shown.deflectionId}
              onClick={() => {
                onChoose(deflectionId);
              }}
            >
              {happened}
            </button>
          ))}
        </p>
      ) : null}
      <details className="how">
        <summary>{say('Your limits')}</summary>
        <div className="two">
          <NumberField label={say('Look closely from 1 in')} value={look} onValue={setLook} />
          <NumberField label={say('Plan work from, mm')} value={plan} onValue={setPlan} />
        </div>
        <p className="hint">
          {say(
            'These begin with what is common practice, no source. They are reminders: how urgent a panel is says a person.',
          )}
        </p>
      </details>
      <div className="caution" role="note">
        <p>{sayWord(STRUCTURAL_DEFERRAL)}</p>
      </div>
      <Cautions keys={['bulged-panel']} />
    </section>
  );
}

function ChangeWords({
  change,
  why,
}: {
  change: DeflectionChange | undefined;
  why: string | undefined;
}) {
  if (change === undefined) return <p className="hint">{why ?? say('comparing…')}</p>;
  if (change.since === null || change.change === null)
    return <p className="hint">{say('There are no earlier readings to compare with.')}</p>;
  const { changeMm, isMoreThanNoise, movedRatio } = change.change;
  return (
    <p role="status">
      {isMoreThanNoise
        ? say(
            'Since {day} it moved {move} mm ± {off} {side}; {percent} % of the panel moved by more than the readings’ noise.',
            {
              day: change.since.happened,
              move: sayFixed(Math.abs(changeMm.value), 1),
              off: sayFixed(2 * changeMm.sigma, 1),
              side: changeMm.value < 0 ? say('outwards') : say('inwards'),
              percent: sayFixed(movedRatio * 100, 0),
            },
          )
        : say('Since {day} nothing moved by more than the readings can tell.', {
            day: change.since.happened,
          })}{' '}
      <Why kind="bulge-change" of={say('what moved')} />
    </p>
  );
}

function sizeOf({ net }: Bench): { widthMm: number; heightMm: number } {
  const { minX, minY, maxX, maxY } = boxOf(net.outlineMm);
  return { widthMm: maxX - minX, heightMm: maxY - minY };
}
