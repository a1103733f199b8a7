import { Field } from '../platform/Field.js';
import { NumberField } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { type LabelChoice, labelledThings, labelSizes, rollLengths } from './label-choice.js';

/** Of what, on which stock, with which code. */
export function LabelChoices({
  choice,
  onChoice,
}: {
  choice: LabelChoice;
  onChoice: (choice: LabelChoice) => void;
}) {
  const set = (change: Partial<LabelChoice>) => {
    onChoice({ ...choice, ...change });
  };
  const text = (name: 'crate' | 'inCrate', label: string, hint: string) => (
    <Field label={label} hint={hint}>
      {(ids) => (
        <input
          {...ids}
          value={choice[name]}
          maxLength={name === 'crate' ? 24 : 400}
          autoComplete="off"
          onChange={(event) => {
            set({ [name]: event.target.value });
          }}
        />
      )}
    </Field>
  );
  return (
    <>
      <OneOf
        legend="Labels of"
        options={labelledThings}
        value={choice.of}
        words={(value) => (value === 'crate' ? 'a crate' : value)}
        onValue={(of) => {
          set({ of, ...(of === 'crate' ? { size: '210 × 148', rollMm: '100' } : {}) });
        }}
      />
      {choice.of === 'crate' ? (
        <div className="two">
          {text('crate', 'Crate', 'As it stands on the wood.')}
          {text('inCrate', 'Panels in it', '2a, 2b; empty: this one.')}
        </div>
      ) : null}
      <OneOf
        legend="On"
        options={['sheet', 'roll'] as const}
        value={choice.stock}
        words={(value) => (value === 'sheet' ? 'sheets of A4' : 'a roll of 62 mm')}
        onValue={(stock) => {
          set({ stock });
        }}
      />
      {choice.stock === 'sheet' ? (
        <>
          <OneOf
            legend="Size, mm"
            options={labelSizes}
            value={choice.size}
            onValue={(size) => {
              set({ size });
            }}
          />
          <NumberField
            label="Places of the first sheet that are used up"
            value={choice.skipped}
            onValue={(skipped) => {
              set({ skipped });
            }}
          />
        </>
      ) : (
        <OneOf
          legend="Length, mm"
          options={rollLengths}
          value={choice.rollMm}
          onValue={(rollMm) => {
            set({ rollMm });
          }}
        />
      )}
      {choice.of === 'crate' ? null : (
        <OneOf
          legend="Lies on the face"
          options={['inside', 'outside'] as const}
          value={choice.face}
          onValue={(face) => {
            set({ face });
          }}
        />
      )}
      {choice.of === 'crate' ? null : (
        <OneOf
          legend="The code holds"
          options={['the mark', 'an address'] as const}
          value={choice.code}
          words={(value) =>
            value === 'the mark' ? 'the mark alone' : 'the address of this archive'
          }
          onValue={(code) => {
            set({ code });
          }}
        />
      )}
    </>
  );
}
