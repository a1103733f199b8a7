import { useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { type Rubbing, revisePanel } from '../platform/api/panels.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';

export interface MeasuredPanel {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly diagonal1Mm: number;
  readonly diagonal2Mm: number;
}

/** Size and both diagonals as measured on the panel itself: in its record, or with the sheet. */
export function measuredPanel({ panel }: Bench, rubbing: Rubbing): MeasuredPanel | null {
  const size = panel.sizes.panel;
  if (size?.source === 'measured' && size.diagonalsMm)
    return {
      widthMm: size.widthMm,
      heightMm: size.heightMm,
      diagonal1Mm: size.diagonalsMm[0],
      diagonal2Mm: size.diagonalsMm[1],
    };
  return rubbing.sheet?.overall ?? null;
}

const fields = [
  ['widthMm', say('Width, mm')],
  ['heightMm', say('Height, mm')],
  ['diagonal1Mm', say('Diagonal from top left, mm')],
  ['diagonal2Mm', say('Diagonal from top right, mm')],
] as const;

/** The independent check: no part of the scale, and held against the drawing afterwards. */
export function PanelCheck({ bench, rubbing }: { bench: Bench; rubbing: Rubbing }) {
  const { panel } = bench;
  const known = measuredPanel(bench, rubbing);
  const [typing, setTyping] = useState(false);
  const [typed, setTyped] = useState<Readonly<Record<string, string>>>(() => ({
    widthMm: String(known?.widthMm ?? panel.sizes.panel?.widthMm ?? ''),
    heightMm: String(known?.heightMm ?? panel.sizes.panel?.heightMm ?? ''),
    diagonal1Mm: String(known?.diagonal1Mm ?? ''),
    diagonal2Mm: String(known?.diagonal2Mm ?? ''),
  }));
  const { busy, why, run } = useAct();
  const [widthMm, heightMm, d1, d2] = fields.map(([name]) => readNumber(typed[name] ?? ''));
  const whole = [widthMm, heightMm, d1, d2].every((mm) => mm !== undefined && mm > 0);
  const keep = () =>
    run(async () => {
      await revisePanel(
        panel.panelId,
        {
          sizes: {
            ...panel.sizes,
            panel: {
              widthMm: widthMm!,
              heightMm: heightMm!,
              diagonalsMm: [d1!, d2!],
              source: 'measured',
            },
          },
        },
        panel.version,
      );
      setTyping(false);
      bench.again();
    });
  return (
    <section aria-label={say('Measured on the panel')}>
      <h3>{say('Measured on the panel itself, over the outer leads')}</h3>
      {typing ? (
        <div className="stack">
          <div className="two">
            {fields.map(([name, label]) => (
              <NumberField
                key={name}
                label={label}
                value={typed[name] ?? ''}
                onValue={(value) => {
                  setTyped({ ...typed, [name]: value });
                }}
              />
            ))}
          </div>
          <Refusal why={why} />
          <div className="row">
            <button
              type="button"
              className="quiet"
              disabled={busy || !whole}
              onClick={() => {
                void keep();
              }}
            >
              {say('Keep these lengths')}
            </button>
            <button
              type="button"
              className="word"
              onClick={() => {
                setTyping(false);
              }}
            >
              {say('not now')}
            </button>
          </div>
        </div>
      ) : (
        <p className="figures">
          {known
            ? say('{widthMm} × {heightMm} mm, diagonals {diagonal1Mm} and {diagonal2Mm} mm. ', {
                widthMm: known.widthMm,
                heightMm: known.heightMm,
                diagonal1Mm: known.diagonal1Mm,
                diagonal2Mm: known.diagonal2Mm,
              })
            : say('Not yet. ')}
          <button
            type="button"
            className="word"
            onClick={() => {
              setTyping(true);
            }}
          >
            {known ? say('change') : say('type size and diagonals')}
          </button>
        </p>
      )}
      <p className="hint">
        {say(
          'An independent check: it takes no part in the scale and stands beside the drawing afterwards.',
        )}
      </p>
    </section>
  );
}
