import type { LeadLook } from '../drawing/net-layers.js';
import { sayMedia } from '../platform/api/media.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { setWords, useHere } from '../platform/navigate.js';
import { Word } from '../platform/Word.js';
import type { Bench } from './use-bench.js';
import type { Stack } from './use-stack.js';

/** What lies on the bench, as a sentence whose words can be chosen. */
export function BenchSentence({
  bench,
  stack,
  leads,
}: {
  bench: Bench;
  stack: Stack;
  leads: LeadLook;
}) {
  const { panel, net, traced } = bench;
  const { words } = useHere();
  const named = stack.laid;
  return (
    <>
      {traced ? say('what was traced so far') : say('the lead drawing in ')}
      {traced ? null : (
        <Word
          label={say('How the leads are shown')}
          value={leads}
          options={[
            ['bands', say('true widths')],
            ['lines', say('centre lines')],
            ['none', say('numbers only')],
          ]}
          onChoose={(value) => {
            setWords({ leads: value });
          }}
        />
      )}
      {traced
        ? null
        : say(', revision {netRevision} {signedRevision}', {
            netRevision: panel.netRevision ?? 0,
            signedRevision:
              panel.signedRevision === panel.netRevision ? say('signed') : say('not signed'),
          })}
      {named.length > 0 ? (
        <>
          {say(', over ')}
          <Word
            label={say('Picture under the drawing')}
            value={stack.under?.mediaId ?? 'none'}
            options={[
              ...named.map((media) => [media.mediaId, sayMedia(media)] as const),
              ['none', say('no picture')],
            ]}
            onChoose={(value) => {
              setWords({ photo: value });
            }}
          />
        </>
      ) : null}
      {rich('{under}, findings {word}; from {b}', {
        under:
          stack.under && stack.over
            ? say(', with {over} over it', { over: sayMedia(stack.over) })
            : null,
        word: (
          <Word
            label={say('Findings')}
            value={words.get('findings') ?? 'yes'}
            options={[
              ['yes', say('drawn')],
              ['no', say('left out')],
            ]}
            onChoose={(value) => {
              setWords({ findings: value === 'yes' ? null : 'no' });
            }}
          />
        ),
        b: <b>{sayWord(net.face)}</b>,
      })}
    </>
  );
}
