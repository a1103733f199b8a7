import { useState } from 'react';
import { letterParts, type Net } from '#libs/net';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import type { Judged } from './judge-desk.js';
import type { DrawingDesk } from './use-drawing.js';

/** Whether the drawing is a net, what it changes, and keeping it as the next revision. */
export function KeepPaper({
  desk,
  revision,
  signed,
  busy,
  why,
  notice,
  onKeep,
  onPlace,
  onWhole,
  onThrowAway,
}: {
  desk: DrawingDesk;
  revision: number;
  signed: boolean;
  busy: boolean;
  why: string | undefined;
  /** what a person should know who comes in */
  notice: string | null;
  onKeep: (note: string) => void;
  onPlace: (xyMm: readonly [number, number]) => void;
  /** shows the whole panel again */
  onWhole: () => void;
  onThrowAway: () => void;
}) {
  const { judged, judging, history } = desk;
  const [typed, setTyped] = useState<string | null>(null);
  const [sure, setSure] = useState(false);
  const changed = history.past.length > 0;
  const note = typed ?? judged?.change?.sentence ?? '';
  const whole = judged !== null && judged.net !== null && !judging;
  return (
    <article className="paper stack" aria-label={say('The drawing')}>
      <div>
        <h2>
          {changed
            ? say('Revision {revision}, not kept yet', { revision: revision + 1 })
            : say('Revision {revision}', { revision })}
        </h2>
        <p className="sub" role="status">
          {sayState(judged, judging, changed)}
        </p>
        {notice ? <p className="kept">{notice}</p> : null}
      </div>
      {judged && judged.troubles.length > 0 ? (
        <ol className="lines troubles" aria-label={say('What is wrong')}>
          {judged.troubles.slice(0, 12).map((trouble) => (
            <li key={`${trouble.fault} ${trouble.xyMm?.join() ?? ''}`}>
              {trouble.xyMm ? (
                <button
                  type="button"
                  className="word"
                  onClick={() => {
                    if (trouble.xyMm) onPlace(trouble.xyMm);
                  }}
                >
                  {trouble.sentence}
                </button>
              ) : (
                trouble.sentence
              )}
            </li>
          ))}
        </ol>
      ) : null}
      {judged?.net && !judging ? <Letters desk={desk} net={judged.net} judged={judged} /> : null}
      {signed ? (
        <p className="caution">
          {rich(
            '<b>Revision {revision} is signed and stays as it is.</b>What you change becomes revision {revision2}, which nobody has signed.',
            { b: (words) => <b>{words}</b>, revision, revision2: revision + 1 },
          )}
        </p>
      ) : null}
      {changed ? (
        <>
          <TextField
            label={say('What was changed, and why')}
            hint={say('begun from what the drawing shows')}
            rows={3}
            value={note}
            onValue={setTyped}
          />
          <Refusal why={why} />
          <button
            type="button"
            className="next"
            disabled={busy || !whole || note.trim() === ''}
            onClick={() => {
              onKeep(note.trim());
            }}
          >
            <span>
              {rich('Keep as revision {revision}', { revision: revision + 1 })}
              <small>
                {whole
                  ? say('then it is in the archive')
                  : judging
                    ? say('looking at it…')
                    : say('first mend what is wrong')}
              </small>
            </span>
          </button>
          <p className="kept">
            {say('Not in the archive yet: kept in this browser, through a reload too.')}
          </p>
        </>
      ) : null}
      <p className="row also">
        <button type="button" className="word" onClick={onWhole}>
          {say('show the whole panel')}
        </button>
        {changed ? (
          <button
            type="button"
            className="word"
            onClick={() => {
              if (sure) onThrowAway();
              setSure(!sure);
            }}
          >
            {sure
              ? say('yes, throw all of it away')
              : say('back to revision {revision}', { revision })}
          </button>
        ) : null}
      </p>
    </article>
  );
}

function sayState(judged: Judged | null, judging: boolean, changed: boolean): string {
  if (!judged) return say('looking at the drawing…');
  if (judging) return say('looking at what was done…');
  if (judged.net) {
    const pieces = say('{pieces, plural, one {# piece} other {# pieces}}, every lead joined', {
      pieces: judged.net.pieces.length,
    });
    return judged.change && changed ? `${pieces}: ${judged.change.sentence}` : pieces;
  }
  return say('not whole yet: {troubles, plural, one {# place} other {# places}} to mend', {
    troubles: judged.troubles.length,
  });
}

/** A mending lead makes two pieces of one: a person says whether they are parts of its number. */
function Letters({ desk, net, judged }: { desk: DrawingDesk; net: Net; judged: Judged }) {
  const asks = (judged.change?.divided ?? []).filter(
    ({ before, after }) =>
      /^\d+$/.test(before) &&
      !after.every((id) => /^\d+[a-z]/.test(id)) &&
      net.leads.some(
        ({ kind, leftPieceId, rightPieceId }) =>
          kind === 'mending' &&
          after.includes(leftPieceId ?? '') &&
          after.includes(rightPieceId ?? ''),
      ),
  );
  return asks.map(({ before, after }) => (
    <div key={before} className="stack">
      <p>
        {rich('A mending lead goes through {before}: the parts are {after} as it stands.', {
          before,
          after: after.join(say(' and ')),
        })}
      </p>
      <button
        type="button"
        className="quiet"
        onClick={() => {
          desk.act(say('letter the parts of {before}', { before }), () =>
            letterParts(desk.drawing, net, Number(before), after),
          );
        }}
      >
        {say('Call them {after}', {
          after: after.map((_, i) => `${before}${String.fromCharCode(97 + i)}`).join(say(' and ')),
        })}
      </button>
    </div>
  ));
}
