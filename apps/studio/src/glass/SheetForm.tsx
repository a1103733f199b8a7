import { type SubmitEvent, useState } from 'react';
import { GLASSES } from '#libs/vocabulary';
import { describeSheet, priceMaterial } from '../platform/api/glass.js';
import { enterMaterial } from '../platform/api/works.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { WordSelect } from '../platform/WordSelect.js';

const BLANK = {
  name: '',
  maker: '',
  batch: '',
  glass: '',
  colour: '',
  thick: '3',
  width: '',
  height: '',
  grain: 'none' as 'none' | 'along-height' | 'along-width',
  quantity: '1',
  price: '',
  per: 'unit' as 'unit' | 'm2',
  currency: 'EUR',
};

/** A glass that came in: its batch, its sheet and what it cost. */
export function SheetForm({ afterwards }: { afterwards: () => void }) {
  const [said, setSaid] = useState(BLANK);
  // What was kept before a later step was refused is not entered twice.
  const [entered, setEntered] = useState<string | null>(null);
  const [described, setDescribed] = useState(false);
  const { busy, why, run } = useAct();
  const change = (changed: Partial<typeof BLANK>) => {
    setSaid({ ...said, ...changed });
  };
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const { name, maker, batch, quantity, glass, colour, grain, price, per, currency } = said;
      const length = (text: string, what: string) => {
        const mm = readNumber(text);
        if (mm === undefined) throw new Error(say('{what}: say a length in mm.', { what }));
        return mm;
      };
      const sheet = {
        glass,
        colour,
        thicknessMm: length(said.thick, say('Thickness, mm')),
        widthMm: length(said.width, say('Width of the sheet, mm')),
        heightMm: length(said.height, say('Height of the sheet, mm')),
        grain,
      };
      let materialId = entered;
      if (materialId === null) {
        ({ materialId } = await enterMaterial({
          name,
          unit: 'sheet',
          quantity: decimal(quantity),
          ...(maker === '' ? {} : { maker }),
          ...(batch === '' ? {} : { batch }),
        }));
        setEntered(materialId);
      }
      if (!described) await describeSheet(materialId, sheet);
      setDescribed(true);
      if (price.trim() !== '') {
        await priceMaterial(materialId, { price: decimal(price), per, currency });
      }
      setEntered(null);
      setDescribed(false);
      setSaid({ ...BLANK, currency });
      afterwards();
    });
  };
  const text = (label: string, member: 'name' | 'maker' | 'batch' | 'colour', isNeeded = false) => (
    <TextField
      label={label}
      required={isNeeded}
      value={said[member]}
      onValue={(value) => {
        change({ [member]: value });
      }}
    />
  );
  const number = (label: string, member: 'thick' | 'width' | 'height' | 'quantity' | 'price') => (
    <NumberField
      label={label}
      value={said[member]}
      onValue={(value) => {
        change({ [member]: value });
      }}
    />
  );
  return (
    <form className="stack" onSubmit={keep} aria-label={say('Enter a glass')}>
      {text(say('Name of the glass'), 'name', true)}
      <div className="two">
        {text(say('Maker'), 'maker')}
        {text(say('Batch'), 'batch')}
      </div>
      <div className="two">
        <WordSelect
          label={say('Kind of glass')}
          words={GLASSES}
          value={said.glass}
          onValue={(glass) => {
            change({ glass });
          }}
        />
        {text(say('Colour'), 'colour', true)}
      </div>
      <div className="two">
        {number(say('Width of the sheet, mm'), 'width')}
        {number(say('Height of the sheet, mm'), 'height')}
      </div>
      <div className="two">
        {number(say('Thickness, mm'), 'thick')}
        {number(say('Sheets that came in'), 'quantity')}
      </div>
      <OneOf
        legend={say('Streaks on the sheet')}
        options={['none', 'along-height', 'along-width'] as const}
        value={said.grain}
        onValue={(grain) => {
          change({ grain });
        }}
        words={(one) =>
          ({
            none: say('none'),
            'along-height': say('along its height'),
            'along-width': say('along its width'),
          })[one]
        }
      />
      <div className="two">
        {number(say('Price'), 'price')}
        <TextField
          label={say('Currency')}
          value={said.currency}
          maxLength={3}
          onValue={(currency) => {
            change({ currency: currency.toUpperCase() });
          }}
        />
      </div>
      <OneOf
        legend={say('Price is for')}
        options={['unit', 'm2'] as const}
        value={said.per}
        onValue={(per) => {
          change({ per });
        }}
        words={(one) => ({ unit: say('a sheet'), m2: say('a square metre') })[one]}
      />
      <Refusal why={why} />
      <p className="row">
        <button type="submit" disabled={busy || said.glass === ''}>
          {say('Enter this glass')}
        </button>
      </p>
    </form>
  );
}

const decimal = (text: string): string => text.trim().replace(',', '.');
