import type { Word } from '#libs/vocabulary';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { TextField } from '../platform/TextField.js';
import { WordSelect } from '../platform/WordSelect.js';
import type { OnFace } from './technique-draft.js';

const FACES = ['inside', 'outside'] as const;

/** Paint, stain and gold laid on faces, or places etched and ground: what, on which face, and more of it. */
export function OnFaceList({
  words,
  kind,
  what,
  add,
  items,
  onItems,
}: {
  words: readonly Word[];
  /** label of the choice */
  kind: string;
  /** label of the one thing more that is said: colour, depth */
  what: string;
  add: string;
  items: readonly OnFace[];
  onItems: (items: readonly OnFace[]) => void;
}) {
  const change = (at: number, over: Partial<OnFace>) => {
    onItems(items.map((item, i) => (i === at ? { ...item, ...over } : item)));
  };
  return (
    <>
      {items.map((item, i) => (
        <div key={i} className="on-face stack">
          <WordSelect
            label={kind}
            words={words}
            value={item.how}
            onValue={(how) => {
              change(i, { how });
            }}
          />
          <OneOf
            legend={say('On the face')}
            options={FACES}
            value={item.face}
            onValue={(face) => {
              change(i, { face });
            }}
          />
          <div className="two">
            <TextField
              label={what}
              value={item.what}
              onValue={(text) => {
                change(i, { what: text });
              }}
            />
            <TextField
              label={say('Note')}
              value={item.note}
              onValue={(note) => {
                change(i, { note });
              }}
            />
          </div>
          <button
            type="button"
            className="word"
            onClick={() => {
              onItems(items.filter((_, k) => k !== i));
            }}
          >
            {say('take it away')}
          </button>
        </div>
      ))}
      <button
        type="button"
        className="quiet"
        onClick={() => {
          onItems([...items, { how: '', face: 'inside', what: '', note: '' }]);
        }}
      >
        {add}
      </button>
    </>
  );
}
