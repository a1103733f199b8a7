import { FATES } from '#libs/vocabulary';
import { say } from '../platform/language/say.js';
import { TextField } from '../platform/TextField.js';
import { WordSelect } from '../platform/WordSelect.js';
import type { GenerationDraft } from './technique-draft.js';

/** One time that another glass took the place: why, when, and where the one before it went. */
export function GenerationFields({
  generation,
  number,
  nth,
  onGeneration,
  onTakeAway,
}: {
  generation: GenerationDraft;
  /** of the piece: '17' */
  number: string;
  /** 2 for the first replacement */
  nth: number;
  onGeneration: (generation: GenerationDraft) => void;
  onTakeAway: () => void;
}) {
  const change = (over: Partial<GenerationDraft>) => {
    onGeneration({ ...generation, ...over });
  };
  return (
    <fieldset className="field layer">
      <legend>{say('Generation {nth}', { nth })}</legend>
      <div className="stack">
        <TextField
          label={say('Why the glass before was taken out')}
          required
          value={generation.reason}
          onValue={(reason) => {
            change({ reason });
          }}
        />
        <div className="two">
          <TextField
            label={say('When')}
            hint={say('1925~ is about 1925')}
            value={generation.happened}
            onValue={(happened) => {
              change({ happened });
            }}
          />
          <TextField
            label={say('Its number')}
            placeholder={`${number}r${nth}`}
            value={generation.mark}
            onValue={(mark) => {
              change({ mark });
            }}
          />
        </div>
        <TextField
          label={say('By whom, as a trade')}
          placeholder={say('glazier')}
          value={generation.byRole}
          onValue={(byRole) => {
            change({ byRole });
          }}
        />
        <WordSelect
          label={say('Where the glass before went')}
          words={FATES}
          value={generation.fate}
          onValue={(fate) => {
            change({ fate });
          }}
        />
        <TextField
          label={say('What else is known of it')}
          hint={say('The shelf where it lies is told in the custody of the window.')}
          value={generation.fateNote}
          onValue={(fateNote) => {
            change({ fateNote });
          }}
        />
        <button type="button" className="word" onClick={onTakeAway}>
          {say('take this generation away')}
        </button>
      </div>
    </fieldset>
  );
}
