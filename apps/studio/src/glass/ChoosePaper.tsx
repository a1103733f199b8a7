import { type SubmitEvent, useState } from 'react';
import { HOLDS } from '#libs/vocabulary';
import { type Choice, chooseGlass, type Sheets } from '../platform/api/glass.js';
import type { Material } from '../platform/api/works.js';
import { Cautions } from '../platform/Cautions.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { NumberField, numberGiven } from '../platform/NumberField.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { WordSelect } from '../platform/WordSelect.js';
import { piecesTyped } from './glass-letters.js';

/** A sheet for the pieces in hand, how its streaks run and what is to hold them. */
export function ChoosePaper({
  panelId,
  pieces,
  chosen,
  onChosen,
  choices,
  sheets,
  register,
  afterwards,
}: {
  panelId: string;
  pieces: readonly string[];
  chosen: readonly string[];
  onChosen: (pieces: readonly string[]) => void;
  choices: ReadonlyMap<string, Choice>;
  sheets: Sheets['items'];
  register: readonly Material[];
  afterwards: () => void;
}) {
  const [sheet, setSheet] = useState('');
  const [grain, setGrain] = useState('');
  const [held, setHeld] = useState('');
  const [foil, setFoil] = useState('');
  const [typed, setTyped] = useState('');
  const { busy, why, run } = useAct();
  const known = sheets.find(({ materialId }) => materialId === sheet);
  const words = piecesTyped(typed, pieces);
  const bare = pieces.filter((piece) => !choices.has(piece));
  const tell = (materialId: string | null) =>
    run(async () => {
      const grainDeg = numberGiven(grain);
      const foilWidthMm = numberGiven(foil);
      await chooseGlass(panelId, {
        pieces: [...chosen],
        materialId,
        ...(materialId === null || grainDeg === undefined ? {} : { grainDeg }),
        ...(materialId === null || held === ''
          ? {}
          : {
              held: {
                by: held,
                ...(held === 'copper-foil' && foilWidthMm !== undefined ? { foilWidthMm } : {}),
              },
            }),
      });
      onChosen([]);
      afterwards();
    });
  const choose = (event: SubmitEvent) => {
    event.preventDefault();
    void tell(sheet);
  };
  return (
    <form className="paper stack" onSubmit={choose} aria-label={say('Glass for pieces')}>
      <div>
        <h1>{say('Glass for pieces')}</h1>
        <p className="sub" role="status">
          {chosen.length === 0
            ? say('Tap pieces on the drawing, or type their numbers.')
            : say('{count, plural, one {# piece} other {# pieces}} in hand: {list}', {
                count: chosen.length,
                list: chosen.join(', '),
              })}
        </p>
      </div>
      <TextField
        label={say('Numbers')}
        hint={
          words.unknown.length === 0
            ? '1-8, 12, 14a'
            : say('not in the drawing: {list}', { list: words.unknown.join(', ') })
        }
        autoComplete="off"
        aria-invalid={words.unknown.length > 0}
        value={typed}
        onValue={(text) => {
          setTyped(text);
          onChosen(piecesTyped(text, pieces).found);
        }}
      />
      <div className="row">
        <button
          type="button"
          className="quiet"
          disabled={bare.length === 0}
          onClick={() => {
            onChosen(bare);
          }}
        >
          {say('all without a glass ({count})', { count: bare.length })}
        </button>
        <button
          type="button"
          className="quiet"
          disabled={chosen.length === 0}
          onClick={() => {
            setTyped('');
            onChosen([]);
          }}
        >
          {say('none')}
        </button>
      </div>
      <Field label={say('Sheet of the register')}>
        {(ids) => (
          <select
            {...ids}
            required
            value={sheet}
            onChange={({ target }) => {
              setSheet(target.value);
            }}
          >
            <option value="">{say('choose…')}</option>
            {sheets.map((one) => {
              const batch = register.find(({ materialId }) => materialId === one.materialId);
              return (
                <option key={one.materialId} value={one.materialId}>
                  {say('{name}, {colour}, {thick} mm; {left} there', {
                    name: batch?.name ?? '',
                    colour: one.colour,
                    thick: one.thicknessMm,
                    left: batch?.left ?? '0',
                  })}
                </option>
              );
            })}
          </select>
        )}
      </Field>
      {known === undefined || known.grain === 'none' ? null : (
        <NumberField
          label={say('Streaks run, degrees from the top')}
          hint={say('0 upright, 90 across, clockwise; empty: any way')}
          value={grain}
          onValue={setGrain}
        />
      )}
      <WordSelect
        label={say('What is to hold them')}
        words={HOLDS}
        value={held}
        onValue={setHeld}
      />
      {held === 'copper-foil' ? (
        <NumberField label={say('Width of the foil, mm')} value={foil} onValue={setFoil} />
      ) : null}
      <Cautions keys={['broken-glass']} />
      <Refusal why={why} />
      <p className="row">
        <button
          type="submit"
          className="act"
          disabled={busy || chosen.length === 0 || sheet === ''}
        >
          {say('Choose this glass')}
        </button>
        <button
          type="button"
          className="quiet"
          disabled={busy || chosen.length === 0 || !chosen.every((piece) => choices.has(piece))}
          onClick={() => {
            void tell(null);
          }}
        >
          {say('Take the choice back')}
        </button>
      </p>
    </form>
  );
}
