import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { TextField } from '../platform/TextField.js';
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
    <TextField
      label={label}
      hint={hint}
      maxLength={name === 'crate' ? 24 : 400}
      autoComplete="off"
      value={choice[name]}
      onValue={(value) => {
        set({ [name]: value });
      }}
    />
  );
  return (
    <>
      <OneOf
        legend={say('Labels of')}
        options={labelledThings}
        value={choice.of}
        words={(value) => (value === 'crate' ? say('a crate') : value)}
        onValue={(of) => {
          set({ of, ...(of === 'crate' ? { size: '210 × 148', rollMm: '100' } : {}) });
        }}
      />
      {choice.of === 'crate' ? (
        <div className="two">
          {text('crate', say('Crate'), say('As it stands on the wood.'))}
          {text('inCrate', say('Panels in it'), say('2a, 2b; empty: this one.'))}
        </div>
      ) : null}
      <OneOf
        legend={say('On')}
        options={['sheet', 'roll'] as const}
        value={choice.stock}
        words={(value) => (value === 'sheet' ? say('sheets of A4') : say('a roll of 62 mm'))}
        onValue={(stock) => {
          set({ stock });
        }}
      />
      {choice.stock === 'sheet' ? (
        <>
          <OneOf
            legend={say('Size, mm')}
            options={labelSizes}
            value={choice.size}
            onValue={(size) => {
              set({ size });
            }}
          />
          <NumberField
            label={say('Places of the first sheet that are used up')}
            value={choice.skipped}
            onValue={(skipped) => {
              set({ skipped });
            }}
          />
        </>
      ) : (
        <OneOf
          legend={say('Length, mm')}
          options={rollLengths}
          value={choice.rollMm}
          onValue={(rollMm) => {
            set({ rollMm });
          }}
        />
      )}
      {choice.of === 'crate' ? null : (
        <OneOf
          legend={say('Lies on the face')}
          options={['inside', 'outside'] as const}
          value={choice.face}
          onValue={(face) => {
            set({ face });
          }}
        />
      )}
      {choice.of === 'crate' ? null : (
        <OneOf
          legend={say('The code holds')}
          options={['the mark', 'an address'] as const}
          value={choice.code}
          words={(value) =>
            value === 'the mark' ? say('the mark alone') : say('the address of this archive')
          }
          onValue={(code) => {
            set({ code });
          }}
        />
      )}
    </>
  );
}
