import { useState } from 'react';
import type { LeadRow } from '#libs/custody';
import type { LeadKind } from '#libs/net';
import { kindWords } from '../edit/ChosenPaper.js';
import type { DismantlingBody } from '../platform/api/custody.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { sayFixed } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';

type Gauge = NonNullable<DismantlingBody['gauges']>[number];

/** One reading at a cut end: which width of the drawing it is, and its section. */
export function GaugeForm({
  rows,
  onGauge,
}: {
  rows: readonly LeadRow[];
  onGauge: (gauge: Gauge) => void;
}) {
  const gauged = rows.filter(({ kind }) => kind === 'came' || kind === 'outer');
  const [row, setRow] = useState(gauged[0]?.row ?? '');
  const [leadId, setLeadId] = useState('');
  const [face, setFace] = useState('');
  const [leaf, setLeaf] = useState('');
  const [heartHeight, setHeartHeight] = useState('');
  const [heart, setHeart] = useState('');
  const [shape, setShape] = useState<'flat' | 'round'>('flat');
  const chosen = gauged.find((one) => one.row === row);
  if (chosen === undefined) return null;
  const [faceMm, leafMm, heartHeightMm, heartMm] = [face, leaf, heartHeight, heart].map(readNumber);
  const isWhole = [faceMm, leafMm, heartHeightMm, heartMm].every(
    (mm) => mm !== undefined && mm > 0,
  );
  return (
    <fieldset className="field">
      <legend>{say('Gauge a cut end')}</legend>
      <div className="stack">
        <Field label={say('Lead of the drawing')}>
          {(ids) => (
            <select
              {...ids}
              value={row}
              onChange={({ target }) => {
                setRow(target.value);
              }}
            >
              {gauged.map((one) => (
                <option key={one.row} value={one.row}>
                  {say('{kind}, {mm} mm', {
                    kind: kindWords[one.kind as LeadKind],
                    mm: sayFixed(one.widthClassMm, 1),
                  })}
                </option>
              ))}
            </select>
          )}
        </Field>
        <div className="two">
          <NumberField
            label={say('Face width')}
            hint={say('mm, or inches as 1/4 in')}
            value={face}
            onValue={setFace}
          />
          <NumberField label={say('Thickness of a leaf')} value={leaf} onValue={setLeaf} />
          <NumberField
            label={say('Height of the heart')}
            value={heartHeight}
            onValue={setHeartHeight}
          />
          <NumberField label={say('Thickness of the heart')} value={heart} onValue={setHeart} />
        </div>
        <OneOf
          legend={say('The leaf is')}
          options={['flat', 'round'] as const}
          value={shape}
          onValue={setShape}
        />
        <TextField
          label={say('Gauged at the lead')}
          placeholder="L12"
          value={leadId}
          onValue={setLeadId}
        />
        <button
          type="button"
          className="quiet"
          disabled={!isWhole}
          onClick={() => {
            onGauge({
              widthClassMm: chosen.widthClassMm,
              kind: chosen.kind as 'came' | 'outer',
              ...(leadId === '' ? {} : { leadId }),
              profile: {
                name: `${shape} ${sayFixed(faceMm!, 1)}`,
                shape: chosen.kind === 'outer' ? 'U' : 'H',
                leaf: shape,
                faceMm: faceMm!,
                leafMm: leafMm!,
                heartHeightMm: heartHeightMm!,
                heartMm: heartMm!,
              },
            });
            for (const clear of [setFace, setLeaf, setHeartHeight, setHeart, setLeadId]) clear('');
          }}
        >
          {say('Put this reading in')}
        </button>
      </div>
    </fieldset>
  );
}
