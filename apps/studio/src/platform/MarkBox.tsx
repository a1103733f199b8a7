import { type SubmitEvent, useState } from 'react';
import { Refused } from './api/request.js';
import { type MarkPlace, resolveMark } from './api/sites.js';
import { say } from './language/say.js';
import { goTo } from './navigate.js';
import { pathOf } from './place.js';
import { reason } from './use-answer.js';

/**
 * The mark is the address: shows where one is, goes where one types. `wI.2b.17` is read within the
 * site one is in; words that are no mark search.
 */
export function MarkBox({
  mark,
  find = resolveMark,
}: {
  mark: string | null;
  /** where a mark is; refused with 404 when nothing bears it */
  find?: (mark: string) => Promise<MarkPlace>;
}) {
  const [typed, setTyped] = useState<string | null>(null);
  const [why, setWhy] = useState<string>();

  const go = async (event: SubmitEvent) => {
    event.preventDefault();
    const text = (typed ?? '').trim();
    if (text === '') return;
    setWhy(undefined);
    const words = () => {
      goTo(`/search?q=${encodeURIComponent(text)}`);
      setTyped(null);
    };
    if (/\s/.test(text)) {
      words();
      return;
    }
    const site = mark?.split('.')[0];
    const tries =
      site && !text.startsWith(`${site}.`) && text !== site ? [`${site}.${text}`, text] : [text];
    for (const candidate of tries)
      try {
        const found = await find(candidate);
        goTo(pathOf(found.fullMark));
        setTyped(null);
        return;
      } catch (error) {
        if (error instanceof Refused && error.status < 500 && error.status !== 401) continue;
        setWhy(reason(error));
        return;
      }
    words();
  };

  return (
    <form
      className="mark-box"
      role="search"
      onSubmit={(event) => {
        void go(event);
      }}
    >
      <label className="unseen" htmlFor="mark-box">
        {say('Go to a mark, or search words')}
      </label>
      <input
        id="mark-box"
        value={typed ?? mark ?? ''}
        placeholder={say('mark or words')}
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        enterKeyHint="go"
        onFocus={(event) => {
          event.target.select();
        }}
        onChange={(event) => {
          setTyped(event.target.value);
        }}
        onBlur={() => {
          if (typed?.trim() === '' || typed === mark) setTyped(null);
        }}
        onKeyDown={(event) => {
          if (event.key === 'Escape') setTyped(null);
        }}
      />
      {why ? (
        <span role="alert" className="mark-why">
          {why}
        </span>
      ) : null}
    </form>
  );
}
