import { type SubmitEvent, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { type CartoonAsked, type CartoonRead, importNet } from '../platform/api/cartoons.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';

/** What had to be put right, place by place, and the act of taking it. */
export function RepairsPaper({
  bench,
  asked,
  read,
  chosen,
  onChoose,
}: {
  bench: Bench;
  asked: CartoonAsked;
  read: CartoonRead;
  chosen: number | null;
  onChoose: (index: number) => void;
}) {
  const { panel } = bench;
  const [note, setNote] = useState(
    say('from the cartoon {fileName}', { fileName: asked.fileName }),
  );
  const { busy, why, run } = useAct();
  const take = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const { fileName, text, unitMm, toleranceMm, faceWidthMm, layers, outline } = asked;
      await importNet(
        panel.panelId,
        {
          fileName,
          text,
          note,
          ...(unitMm === undefined ? {} : { unitMm }),
          ...(toleranceMm === undefined ? {} : { toleranceMm }),
          ...(faceWidthMm === undefined ? {} : { faceWidthMm }),
          ...(layers === undefined ? {} : { layers }),
          ...(outline === undefined ? {} : { outline }),
        },
        panel.netRevision ?? 0,
      );
      bench.again();
      goTo(pathOf(panel.fullMark));
    });
  };
  return (
    <form className="paper stack" onSubmit={take}>
      <div>
        <h2>
          {read.repairs.length === 0
            ? say('Nothing to put right')
            : say('{repairs, plural, one {# repair} other {# repairs}}', {
                repairs: read.repairs.length,
              })}
        </h2>
        <p className="sub">
          {read.repairs.length === 0
            ? say('Every line meets its neighbours and every piece closes.')
            : say('Look at each place; what is wrong is mended in the file, and read again.')}
        </p>
      </div>
      {read.repairs.length > 0 ? (
        <ol className="lines tall" aria-label={say('Repairs')} tabIndex={0}>
          {read.repairs.map(({ sentence, xyMm }, index) => (
            <li key={index}>
              {xyMm ? (
                <button
                  type="button"
                  className="word"
                  aria-current={index === chosen}
                  onClick={() => {
                    onChoose(index);
                  }}
                >
                  {sentence}
                </button>
              ) : (
                <span>{sentence}</span>
              )}
            </li>
          ))}
        </ol>
      ) : null}
      <TextField label={say('Note')} required value={note} onValue={setNote} />
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy || note.trim() === ''}>
          {rich('Take it as revision {netRevision}', { netRevision: (panel.netRevision ?? 0) + 1 })}
        </button>
      </div>
    </form>
  );
}
