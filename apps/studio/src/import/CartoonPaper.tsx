import { type SubmitEvent, useState } from 'react';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import type { CartoonAsked, CartoonRead } from '../platform/api/cartoons.js';
import { Figure } from '../platform/figure/Figure.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { sayPanelMm } from '../platform/say-number.js';

/** The file, how it was understood, and how else it may be read. */
export function CartoonPaper({
  bench,
  asked,
  read,
  why,
  onFile,
  onAsk,
}: {
  bench: Bench;
  asked: CartoonAsked | null;
  read: CartoonRead | null;
  why: string | undefined;
  onFile: (file: File) => void;
  onAsk: (asked: CartoonAsked) => void;
}) {
  const { panel } = bench;
  return (
    <section className="paper stack">
      <div>
        <h2>{rich('A cartoon for {mark}', { mark: panel.mark })}</h2>
        <p className="sub">
          {say(
            'A drawing of new work: SVG, DXF or GeoJSON, its lines along the middles of the leads.',
          )}
        </p>
      </div>
      <div className="row">
        <label className={asked ? 'act quiet' : 'act'}>
          {asked ? say('Another file') : say('Choose a file')}
          <input
            type="file"
            className="unseen"
            accept=".svg,.dxf,.geojson,.json,image/svg+xml,application/geo+json"
            onChange={(event) => {
              const file = event.target.files?.[0];
              if (file) onFile(file);
              event.target.value = '';
            }}
          />
        </label>
        <ToBench mark={panel.fullMark} />
      </div>
      <Refusal why={why} />
      {read ? (
        <table className="facts">
          <tbody>
            <tr>
              <th scope="row">{asked?.fileName}</th>
              <td>{read.format.toUpperCase()}</td>
            </tr>
            <tr>
              <th scope="row">{say('size')}</th>
              <td>
                <Figure kind="cartoon-size" of={say('size')}>
                  {sayPanelMm(read.widthMm, read.heightMm)}
                </Figure>
              </td>
            </tr>
            <tr>
              <th scope="row">{say('1 unit of the file')}</th>
              <td>
                {Number(read.unitMm.toPrecision(5))} mm, {read.unitFrom}
              </td>
            </tr>
            <tr>
              <th scope="row">{say('pieces')}</th>
              <td>{read.net.pieces.length}</td>
            </tr>
          </tbody>
        </table>
      ) : null}
      {asked ? <Reading key={asked.fileName} asked={asked} read={read} onAsk={onAsk} /> : null}
    </section>
  );
}

function Reading({
  asked,
  read,
  onAsk,
}: {
  asked: CartoonAsked;
  read: CartoonRead | null;
  onAsk: (asked: CartoonAsked) => void;
}) {
  const [unit, setUnit] = useState('');
  const [gap, setGap] = useState('');
  const [face, setFace] = useState('');
  const [outline, setOutline] = useState<'drawn' | 'box'>('drawn');
  const [left, setLeft] = useState<readonly string[] | null>(null);
  const layers = read?.layers ?? [];
  const used = left ?? layers.filter(({ isUsed }) => isUsed).map(({ name }) => name);
  const again = (event: SubmitEvent) => {
    event.preventDefault();
    const figure = (name: string, text: string) => {
      const value = readNumber(text);
      return value === undefined ? {} : { [name]: value };
    };
    onAsk({
      fileName: asked.fileName,
      text: asked.text,
      outline,
      ...figure('unitMm', unit),
      ...figure('toleranceMm', gap),
      ...figure('faceWidthMm', face),
      ...(left === null ? {} : { layers: [...left] }),
    });
  };
  return (
    <details className="reading">
      <summary>{say('Read it another way')}</summary>
      <form className="stack" onSubmit={again}>
        <div className="three">
          <NumberField
            label={say('1 unit is, mm')}
            hint={say('empty: as the file says')}
            value={unit}
            onValue={setUnit}
          />
          <NumberField
            label={say('Close gaps to, mm')}
            hint={say('empty: 0.5')}
            value={gap}
            onValue={setGap}
          />
          <NumberField
            label={say('Face width, mm')}
            hint={say('empty: 6, where the file has none')}
            value={face}
            onValue={setFace}
          />
        </div>
        <OneOf
          legend={say('Outer edge')}
          options={['drawn', 'box'] as const}
          value={outline}
          onValue={setOutline}
          words={(value) => (value === 'drawn' ? say('as drawn') : say('the rectangle round it'))}
        />
        {layers.length > 1 ? (
          <fieldset className="field">
            <legend>{say('Layers that hold leads')}</legend>
            {layers.map(({ name, lines }) => (
              <label key={name} className="tick">
                <input
                  type="checkbox"
                  checked={used.includes(name)}
                  onChange={(event) => {
                    setLeft(
                      event.target.checked
                        ? [...used, name]
                        : used.filter((other) => other !== name),
                    );
                  }}
                />
                {rich('{name}, {lines} lines', {
                  name: name === '' ? say('without a name') : name,
                  lines,
                })}
              </label>
            ))}
          </fieldset>
        ) : null}
        <div className="row">
          <button type="submit" className="quiet">
            {say('Read it again')}
          </button>
        </div>
      </form>
    </details>
  );
}
