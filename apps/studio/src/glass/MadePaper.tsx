import { type SubmitEvent, useState } from 'react';
import { type CutGlass, type CutList, cutGlass, describeSheet } from '../platform/api/glass.js';
import { enterMaterial, recordWork } from '../platform/api/works.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { sayPanelMm } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';

/** Marks that one record of work takes. */
const MARKS_MAX = 200;
/** An offcut that is worth a place on the rack: common practice, no source. */
const WORTH_MM = 100;

/** What was cut goes into the record of its pieces, and off the stock; what is left over goes on it. */
export function MadePaper({
  panelId,
  siteId,
  list,
  letters,
  afterwards,
}: {
  panelId: string;
  siteId: string;
  list: CutList;
  letters: ReadonlyMap<string, string>;
  afterwards: () => void;
}) {
  const ready = list.glasses.filter(({ pieces }) => pieces.length > 0);
  const [materialId, setMaterialId] = useState('');
  const [happened, setHappened] = useState(today());
  const [byRole, setByRole] = useState('');
  const { busy, why, run } = useAct();
  const glass = ready.find((one) => one.materialId === materialId) ?? ready[0];
  const [left, setLeft] = useState<{ name: string; glass: CutGlass } | null>(null);
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    if (glass === undefined) return;
    void run(async () => {
      const pieces = glass.pieces.map(({ piece }) => piece);
      const role = byRole.trim() === '' ? {} : { byRole };
      await cutGlass(panelId, { pieces, happened, ...role });
      const marks = pieces.map((piece) => `${list.mark}.${piece}`);
      for (let at = 0; at < marks.length; at += MARKS_MAX) {
        await recordWork(siteId, {
          subjects: marks.slice(at, at + MARKS_MAX),
          operation: 'make',
          happened,
          ...role,
          materials: at === 0 ? sheetsUsed(glass) : [],
        });
      }
      setLeft({ name: glass.name, glass });
      afterwards();
    });
  };
  return (
    <form className="paper stack" onSubmit={keep} aria-label={say('What was cut')}>
      <div>
        <h2>{say('What was cut')}</h2>
        <p className="sub">
          {say(
            'Each piece is then described by its glass, and the sheets are off the stock. {cut} of {all} are cut.',
            {
              cut: list.cut.length,
              all:
                list.cut.length +
                list.unchosen.length +
                ready.reduce((sum, { pieces }) => sum + pieces.length, 0),
            },
          )}
        </p>
      </div>
      {glass === undefined ? null : (
        <>
          <Field label={say('Glass')}>
            {(ids) => (
              <select
                {...ids}
                value={glass.materialId}
                onChange={({ target }) => {
                  setMaterialId(target.value);
                }}
              >
                {ready.map((one) => (
                  <option key={one.materialId} value={one.materialId}>
                    {say('{letter} {glass}, {count, plural, one {# piece} other {# pieces}}', {
                      letter: letters.get(one.materialId) ?? '',
                      glass: one.name,
                      count: one.pieces.length,
                    })}
                  </option>
                ))}
              </select>
            )}
          </Field>
          <div className="two">
            <TextField
              label={say('On which day')}
              hint="2026-05-04, 2019, 1998~"
              required
              value={happened}
              onValue={setHappened}
            />
            <TextField label={say('By (trade)')} value={byRole} onValue={setByRole} />
          </div>
          <Refusal why={why} />
          <p className="row">
            <button type="submit" disabled={busy}>
              {say('They are cut')}
            </button>
          </p>
        </>
      )}
      {left === null ? null : (
        <LeftOver
          glass={left.glass}
          afterwards={() => {
            setLeft(null);
            afterwards();
          }}
        />
      )}
    </form>
  );
}

/** Whole sheets and offcuts of the register that the pieces lie on. */
function sheetsUsed({ sheets }: CutGlass) {
  const count = new Map<string, number>();
  for (const { sheet } of sheets) count.set(sheet, (count.get(sheet) ?? 0) + 1);
  return [...count].map(([materialId, quantity]) => ({ materialId, quantity: String(quantity) }));
}

function LeftOver({ glass, afterwards }: { glass: CutGlass; afterwards: () => void }) {
  const { busy, why, run } = useAct();
  const offcuts = glass.sheets
    .flatMap(({ offcut }) => offcut ?? [])
    .filter(({ widthMm, heightMm }) => Math.min(widthMm, heightMm) >= WORTH_MM);
  const [done, setDone] = useState(0);
  const next = offcuts[done];
  if (next === undefined) return null;
  const [wide, high] = [Math.floor(next.widthMm), Math.floor(next.heightMm)];
  const whole = glass.sheets.find(({ isOffcut }) => !isOffcut)?.sheet ?? null;
  const keep = () =>
    run(async () => {
      const { materialId } = await enterMaterial({
        name: say('{glass}, offcut', { glass: glass.name }),
        unit: 'sheet',
        quantity: '1',
        ...(glass.maker === null ? {} : { maker: glass.maker }),
        ...(glass.batch === null ? {} : { batch: glass.batch }),
      });
      await describeSheet(materialId, {
        glass: glass.glass,
        colour: glass.colour,
        thicknessMm: glass.thicknessMm,
        widthMm: wide,
        heightMm: high,
        grain: glass.grain,
        ...(whole === null ? {} : { offcutOf: whole }),
      });
      if (done + 1 < offcuts.length) setDone(done + 1);
      else afterwards();
    });
  return (
    <div className="stack">
      <p role="status">
        {say('Left over of {glass}: {size}.', { glass: glass.name, size: sayPanelMm(wide, high) })}
      </p>
      <Refusal why={why} />
      <p className="row">
        <button
          type="button"
          className="quiet"
          disabled={busy}
          onClick={() => {
            void keep();
          }}
        >
          {say('Put it on the stock')}
        </button>
        <button
          type="button"
          className="quiet"
          onClick={() => {
            setDone(done + 1);
          }}
        >
          {say('It is not worth keeping')}
        </button>
      </p>
    </div>
  );
}
