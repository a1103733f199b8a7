import type { LeadLook } from '../drawing/net-layers.js';
import { sayMedia } from '../platform/api/media.js';
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
      {traced ? 'what was traced so far' : 'the lead drawing in '}
      {traced ? null : (
        <Word
          label="How the leads are shown"
          value={leads}
          options={[
            ['bands', 'true widths'],
            ['lines', 'centre lines'],
            ['none', 'numbers only'],
          ]}
          onChoose={(value) => {
            setWords({ leads: value });
          }}
        />
      )}
      {traced
        ? null
        : `, revision ${panel.netRevision ?? 0} ${panel.signedRevision === panel.netRevision ? 'signed' : 'not signed'}`}
      {named.length > 0 ? (
        <>
          , over{' '}
          <Word
            label="Picture under the drawing"
            value={stack.under?.mediaId ?? 'none'}
            options={[
              ...named.map((media) => [media.mediaId, sayMedia(media)] as const),
              ['none', 'no picture'],
            ]}
            onChoose={(value) => {
              setWords({ photo: value });
            }}
          />
        </>
      ) : null}
      {stack.under && stack.over ? `, with ${sayMedia(stack.over)} over it` : null}, findings{' '}
      <Word
        label="Findings"
        value={words.get('findings') ?? 'yes'}
        options={[
          ['yes', 'drawn'],
          ['no', 'left out'],
        ]}
        onChoose={(value) => {
          setWords({ findings: value === 'yes' ? null : 'no' });
        }}
      />
      ; from <b>{net.face}</b>
    </>
  );
}
