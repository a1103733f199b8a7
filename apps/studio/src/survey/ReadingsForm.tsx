import { type SubmitEvent, useState } from 'react';
import { type DeflectionBody, recordDeflection } from '../platform/api/surveys.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { NumberField, numberGiven, readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { sayFixed } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { emptyGrid, placeOf, readingsIn, resized } from './readings-grid.js';

const DATUMS = ['string-line', 'straight-edge', 'laser', 'total-station'] as const;
const SENSES = ['distance', 'out'] as const;
const FACES = ['inside', 'outside'] as const;
const UNITS = ['mm', 'cm', 'm', 'in'] as const;
const MOST = 15;

/** New readings: tapped into a grid over the panel, or a table from an instrument. */
export function ReadingsForm({
  panelId,
  sizeMm,
  afterwards,
}: {
  panelId: string;
  sizeMm: { widthMm: number; heightMm: number };
  afterwards: () => void;
}) {
  const [datum, setDatum] = useState<(typeof DATUMS)[number]>('string-line');
  const [face, setFace] = useState<(typeof FACES)[number]>('inside');
  const [sense, setSense] = useState<(typeof SENSES)[number]>('distance');
  const [noise, setNoise] = useState('0.5');
  const [happened, setHappened] = useState(today());
  const [grid, setGrid] = useState(() => emptyGrid(5, 7));
  const [csv, setCsv] = useState('');
  const [unit, setUnit] = useState<(typeof UNITS)[number]>('m');
  const { busy, why, run } = useAct();
  const isTable = datum === 'total-station';
  const { readings, unread } = readingsIn(grid, sizeMm, readNumber);
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const said = { datum, face, sense, noiseMm: numberGiven(noise) ?? 0, happened };
      const body: DeflectionBody = isTable
        ? { ...said, csv: { text: csv, unit } }
        : { ...said, readings };
      await recordDeflection(panelId, body);
      setGrid(emptyGrid(grid.columns, grid.rows));
      setCsv('');
      afterwards();
    });
  };
  const size = (columns: number, rows: number) => {
    const within = (count: number) => Math.min(MOST, Math.max(3, count));
    setGrid(resized(grid, within(columns), within(rows)));
  };
  return (
    <form className="paper wide stack" onSubmit={record} aria-label={say('New readings')}>
      <h2>{say('New readings')}</h2>
      <OneOf
        legend={say('Read from')}
        options={DATUMS}
        value={datum}
        onValue={setDatum}
        words={(one) =>
          ({
            'string-line': say('a string line'),
            'straight-edge': say('a straight edge'),
            laser: say('a laser plane'),
            'total-station': say('a total station'),
          })[one]
        }
      />
      <OneOf
        legend={say('On the face')}
        options={FACES}
        value={face}
        onValue={setFace}
        words={(one) => (one === 'inside' ? say('inside') : say('outside'))}
      />
      {isTable ? null : (
        <OneOf
          legend={say('What is read')}
          options={SENSES}
          value={sense}
          onValue={setSense}
          words={(one) =>
            one === 'distance' ? say('from the datum to the glass') : say('how far it stands out')
          }
        />
      )}
      <div className="two">
        <NumberField
          label={say('A reading may be off by, mm')}
          value={noise}
          onValue={setNoise}
          hint={say('two of three keep within it')}
        />
        <TextField
          label={say('On which day')}
          hint="2026-05-04, 2019, 1998~"
          required
          value={happened}
          onValue={setHappened}
        />
      </div>
      {isTable ? (
        <>
          <TextField
            label={say('Points: name, x, y, z')}
            hint={say('Name three corners or more TL, TR, BR, BL, as seen from inside.')}
            rows={6}
            value={csv}
            onValue={setCsv}
          />
          <Field label={say('Or a file')}>
            {(ids) => (
              <input
                {...ids}
                type="file"
                accept=".csv,.txt,.asc,text/csv,text/plain"
                onChange={(event) => {
                  const file = event.target.files?.[0];
                  if (file) void file.text().then(setCsv);
                }}
              />
            )}
          </Field>
          <OneOf
            legend={say('In')}
            options={UNITS}
            value={unit}
            onValue={setUnit}
            words={(one) => one}
          />
        </>
      ) : (
        <>
          <div className="two">
            <NumberField
              label={say('Columns')}
              value={String(grid.columns)}
              onValue={(text) => {
                size(Math.round(readNumber(text) ?? grid.columns), grid.rows);
              }}
            />
            <NumberField
              label={say('Rows')}
              value={String(grid.rows)}
              onValue={(text) => {
                size(grid.columns, Math.round(readNumber(text) ?? grid.rows));
              }}
            />
          </div>
          <p className="hint">
            {say(
              'Seen from inside, edges included; mm. Leave empty what was not read. {read} read.',
              {
                read: readings.length,
              },
            )}
          </p>
          <div
            className="readings"
            role="group"
            aria-label={say('Readings over the panel')}
            style={{ gridTemplateColumns: `repeat(${grid.columns}, minmax(44px, 1fr))` }}
          >
            {grid.texts.map((text, cell) => {
              const [x, y] = placeOf(grid, cell, sizeMm);
              const where = `${sayFixed(x, 0)} / ${sayFixed(y, 0)}`;
              return (
                <input
                  key={where}
                  inputMode="decimal"
                  autoComplete="off"
                  aria-label={say('{x} mm from the left, {y} mm from the top', {
                    x: sayFixed(x, 0),
                    y: sayFixed(y, 0),
                  })}
                  value={text}
                  onChange={(event) => {
                    const texts = grid.texts.with(cell, event.target.value);
                    setGrid({ ...grid, texts });
                  }}
                />
              );
            })}
          </div>
        </>
      )}
      {unread === 0 ? null : (
        <p role="alert">
          {say('{unread, plural, one {# cell is} other {# cells are}} no number.', { unread })}
        </p>
      )}
      <Refusal why={why} />
      <p className="row">
        <button type="submit" disabled={busy || unread > 0}>
          {say('Record the readings')}
        </button>
      </p>
    </form>
  );
}
