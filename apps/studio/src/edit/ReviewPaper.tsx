import { useState } from 'react';
import { Why } from '../platform/figure/Figure.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { ask, sayReasons } from '../platform/say-doubt.js';
import { sayRatio } from '../platform/say-number.js';
import type { Review } from './use-review.js';

/** One question at a time, with its answers under the thumb. */
export function ReviewPaper({
  review,
  signed,
  sign,
  why,
  onLeave,
}: {
  review: Review;
  /** this very drawing is signed */
  signed: boolean;
  /** why the last try to sign was refused */
  why: string | undefined;
  /** keeps what is unsaved and signs; null when the drawing cannot be signed as it is */
  sign: { readonly words: string; readonly go: () => void; readonly busy: boolean } | null;
  onLeave: () => void;
}) {
  const { question, at, of, skipped, answers } = review;
  const [sure, setSure] = useState(false);
  if (!question)
    return (
      <article className="paper stack" aria-label={say('Places in doubt')}>
        <div role="status">
          <h2>
            {skipped === 0
              ? say('Nothing doubtful is left')
              : say('{skipped} skipped', { skipped })}
          </h2>
          <p className="sub">
            {skipped === 0
              ? signed
                ? say('This drawing is signed.')
                : say('Sign it? Then its pieces have their numbers for ever.')
              : say('The others are answered. What you skipped stays in doubt on the drawing.')}
          </p>
        </div>
        {skipped > 0 ? (
          <button type="button" className="next" onClick={review.again}>
            {say('Look at what was skipped')}
          </button>
        ) : signed ? null : sign ? (
          <>
            {sure ? (
              <p className="caution">
                {rich(
                  '<b>Signing fixes the piece numbers for ever.</b>Hold the drawing against the panel once more.',
                  { b: (words) => <b>{words}</b> },
                )}
              </p>
            ) : null}
            <button
              type="button"
              className="next"
              disabled={sign.busy}
              onClick={() => {
                if (sure) sign.go();
                else setSure(true);
              }}
            >
              {sure ? sign.words : say('Sign this drawing?')}
            </button>
            <Refusal why={why} />
          </>
        ) : (
          <p className="hint">
            {say('The drawing is not a whole net yet: see what is wrong with it first.')}
          </p>
        )}
        <div className="row">
          <button type="button" className="quiet" onClick={onLeave}>
            {say('Go on drawing')}
          </button>
          {answers.map((answer) => (
            <button key={answer.key} type="button" className="quiet" onClick={answer.give}>
              {answer.words} <kbd>{answer.key}</kbd>
            </button>
          ))}
        </div>
      </article>
    );
  // The question itself says that a lead may be missing.
  const reasons = question.reasons.filter((one) => one !== 'may-be-missing');
  return (
    <article className="paper stack review" aria-label={say('Places in doubt')}>
      <div aria-live="polite">
        <p className="sub">
          {rich('{at} of {of}', { at, of })}
          {question.about === 'lead'
            ? say(', read with {confidenceP} confidence', {
                confidenceP: sayRatio(question.confidenceP),
              })
            : ''}
          {question.about === 'lead' ? <Why kind="confidence" of={say('read with')} /> : null}
        </p>
        <h2>{ask(question)}</h2>
        {reasons.length > 0 ? <p>{sayReasons(reasons)}.</p> : null}
      </div>
      <progress
        className="review-progress"
        max={of}
        value={at - 1}
        aria-label={say('Doubts answered')}
      />
      <div className="answers">
        {answers.map((answer, index) => (
          <button
            key={answer.key}
            type="button"
            className={index === 0 ? undefined : 'quiet'}
            onClick={answer.give}
          >
            {answer.words} <kbd>{answer.key}</kbd>
          </button>
        ))}
      </div>
      <p className="row">
        <button type="button" className="word" onClick={onLeave}>
          {say('leave the doubts for later')}
        </button>
      </p>
    </article>
  );
}
