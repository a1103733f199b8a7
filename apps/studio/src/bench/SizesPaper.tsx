import { type SubmitEvent, useState } from 'react';
import { revisePanel, type Size } from '../platform/api/panels.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';
import type { Bench } from './use-bench.js';

/** Sizes as measured on the panel and in the opening. */
export function SizesPaper({ bench }: { bench: Bench }) {
  const { panel } = bench;
  const start = (size: Size | undefined) => ({
    width: size ? String(size.widthMm) : '',
    height: size ? String(size.heightMm) : '',
  });
  const [over, setOver] = useState(start(panel.sizes.panel));
  const [tight, setTight] = useState(start(panel.sizes.tight));
  const [diagonals, setDiagonals] = useState(
    (panel.sizes.panel?.diagonalsMm ?? []).map(String).concat('', '').slice(0, 2),
  );
  const { busy, why, run } = useAct();
  const sizeOf = (typed: { width: string; height: string }): Size | undefined => {
    const [widthMm, heightMm] = [readNumber(typed.width), readNumber(typed.height)];
    return widthMm === undefined || heightMm === undefined
      ? undefined
      : { widthMm, heightMm, source: 'measured' };
  };
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    const size = sizeOf(over);
    const opening = sizeOf(tight);
    const [d1, d2] = diagonals.map(readNumber);
    void run(async () => {
      await revisePanel(
        panel.panelId,
        {
          sizes: {
            ...panel.sizes,
            ...(size
              ? { panel: { ...size, ...(d1 && d2 ? { diagonalsMm: [d1, d2] as const } : {}) } }
              : {}),
            ...(opening ? { tight: opening } : {}),
          },
        },
        panel.version,
      );
      bench.again();
      goTo(pathOf(panel.fullMark));
    });
  };
  return (
    <form className="paper stack" onSubmit={keep}>
      <div>
        <h2>{rich('Sizes of {mark}', { mark: panel.mark })}</h2>
        <p className="sub">{say('As measured with a tape, in millimetres.')}</p>
      </div>
      <fieldset className="two">
        <legend>{say('Panel size, over the outer leads')}</legend>
        <NumberField
          label={say('Width, mm')}
          value={over.width}
          onValue={(width) => {
            setOver({ ...over, width });
          }}
        />
        <NumberField
          label={say('Height, mm')}
          value={over.height}
          onValue={(height) => {
            setOver({ ...over, height });
          }}
        />
      </fieldset>
      <fieldset className="two">
        <legend>{say('Both diagonals of the panel')}</legend>
        {([say('top left to bottom right'), say('top right to bottom left')] as const).map(
          (label, index) => (
            <NumberField
              key={label}
              label={`${label}, mm`}
              value={diagonals[index] ?? ''}
              onValue={(value) => {
                setDiagonals(diagonals.map((before, at) => (at === index ? value : before)));
              }}
            />
          ),
        )}
      </fieldset>
      <fieldset className="two">
        <legend>{say('Tight size of the opening, to the back of the groove')}</legend>
        <NumberField
          label={say('Width, mm')}
          value={tight.width}
          onValue={(width) => {
            setTight({ ...tight, width });
          }}
        />
        <NumberField
          label={say('Height, mm')}
          value={tight.height}
          onValue={(height) => {
            setTight({ ...tight, height });
          }}
        />
      </fieldset>
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy}>
          {say('Keep these sizes')}
        </button>
        <button
          type="button"
          className="quiet"
          onClick={() => {
            goTo(pathOf(panel.fullMark));
          }}
        >
          {say('Back')}
        </button>
      </div>
    </form>
  );
}
