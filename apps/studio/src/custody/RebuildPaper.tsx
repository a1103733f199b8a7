import { useState } from 'react';
import type { LeadRow, RebuildAnswers } from '#libs/custody';
import { compareNames } from '#libs/net';
import {
  checkRebuild,
  type RebuildBody,
  signRebuild,
  type WorkStep,
} from '../platform/api/custody.js';
import { Why } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { say, sayWord } from '../platform/language/say.js';
import { NumberField, numberGiven, readNumber } from '../platform/NumberField.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayLengthMm, sayMm, sayPanelMm } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { ListOnPaper } from './ListOnPaper.js';

type PieceIs = RebuildAnswers['pieces'][number]['is'];
const order: readonly (PieceIs | undefined)[] = [undefined, 'in', 'replaced', 'missing'];

const pieceWords = (is: PieceIs | undefined): string =>
  is === undefined
    ? say('not looked at')
    : { in: say('in'), replaced: say('replaced'), missing: say('missing') }[is];

interface Listed {
  readonly panelId: string;
  readonly fullMark: string;
  readonly revision: number;
  readonly sizes: { readonly tight?: { widthMm: number; heightMm: number } | undefined };
}

/** Tap each piece until it says what it is; tap each kind of lead; measure; close; sign. */
export function RebuildPaper({
  panel,
  pieces,
  rows,
  last,
  isSigned,
  afterwards,
}: {
  panel: Listed;
  pieces: readonly string[];
  rows: readonly LeadRow[];
  last: WorkStep | undefined;
  isSigned: boolean;
  afterwards: () => void;
}) {
  const said = last?.detail as unknown as RebuildBody | undefined;
  const [states, setStates] = useState<Readonly<Record<string, PieceIs | undefined>>>(
    Object.fromEntries((said?.pieces ?? []).map(({ mark, is }) => [mark, is])),
  );
  const [looked, setLooked] = useState<readonly string[]>(
    (said?.leads ?? []).map(({ row }) => row),
  );
  const [width, setWidth] = useState(String(said?.trialFit?.widthMm ?? ''));
  const [height, setHeight] = useState(String(said?.trialFit?.heightMm ?? ''));
  const [cemented, setCemented] = useState(said?.cemented?.on ?? '');
  const [cure, setCure] = useState(said?.cureUntil ?? '');
  const { busy, why, run } = useAct();
  const isClosed = said?.closes === true;
  const open = pieces.filter((piece) => states[piece] === undefined).length;
  const widthMm = readNumber(width);
  const heightMm = readNumber(height);
  const { tight } = panel.sizes;
  const room =
    tight && widthMm !== undefined && heightMm !== undefined
      ? { widthMm: tight.widthMm - widthMm, heightMm: tight.heightMm - heightMm }
      : undefined;
  const keep = (closes: boolean) =>
    void run(async () => {
      const fit = { widthMm: numberGiven(width), heightMm: numberGiven(height) };
      if ((fit.widthMm === undefined) !== (fit.heightMm === undefined))
        throw new Error(say('The trial fit needs both its width and its height.'));
      await checkRebuild(panel.panelId, {
        revision: panel.revision,
        pieces: pieces.flatMap((mark) => {
          const is = states[mark];
          return is === undefined ? [] : [{ mark, is }];
        }),
        leads: looked.map((row) => ({ row, is: 'as-listed' as const })),
        ...(widthMm !== undefined && heightMm !== undefined
          ? { trialFit: { widthMm, heightMm } }
          : {}),
        cemented: cemented === '' ? null : { on: cemented },
        cureUntil: cure === '' ? null : cure,
        comparison: said?.comparison ?? null,
        images: last?.images ?? [],
        closes,
        happened: today(),
      });
      afterwards();
    });
  return (
    <section className="paper custody" aria-label={say('List of {mark}', { mark: panel.fullMark })}>
      <h1>{say('Rebuilt: {mark}', { mark: panel.fullMark })}</h1>
      <ListOnPaper of={{ panelId: panel.panelId }} list="rebuild" />
      <p aria-live="polite">
        {open === 0
          ? say('Every piece was looked at.')
          : say('{open, plural, one {# piece} other {# pieces}} not looked at yet.', { open })}
      </p>
      <fieldset className="field">
        <legend>{say('Pieces: tap until it says what it is')}</legend>
        <div className="taps pieces">
          {pieces.toSorted(compareNames).map((piece) => (
            <button
              key={piece}
              type="button"
              className={`quiet is-${states[piece] ?? 'open'}`}
              onClick={() => {
                const next = order[(order.indexOf(states[piece]) + 1) % order.length];
                setStates({ ...states, [piece]: next });
              }}
            >
              {piece} <small>{pieceWords(states[piece])}</small>
            </button>
          ))}
        </div>
        <button
          type="button"
          className="quiet wide"
          onClick={() => {
            setStates(Object.fromEntries(pieces.map((piece) => [piece, states[piece] ?? 'in'])));
          }}
        >
          {say('All the others are in')}
        </button>
      </fieldset>
      <fieldset className="field">
        <legend>
          {say('Leads, by the list')} <Why kind="lead-list" of={say('Leads, by the list')} />
        </legend>
        {rows.map(({ row, kind, widthClassMm, profile, leads, lengthMm }) => (
          <label key={row} className="check">
            <input
              type="checkbox"
              checked={looked.includes(row)}
              onChange={(event) => {
                setLooked(
                  event.target.checked ? [...looked, row] : looked.filter((one) => one !== row),
                );
              }}
            />
            {say(
              '{kind} {width}, {profile}: {leads, plural, one {# lead} other {# leads}}, {length}',
              {
                kind: sayWord(kind),
                width: sayMm(widthClassMm),
                profile: profile ?? say('profile not gauged'),
                leads,
                length: sayLengthMm(lengthMm),
              },
            )}
          </label>
        ))}
      </fieldset>
      <NumberField label={say('Trial fit: width, mm')} value={width} onValue={setWidth} />
      <NumberField label={say('Trial fit: height, mm')} value={height} onValue={setHeight} />
      {room ? (
        <p className={Math.min(room.widthMm, room.heightMm) < 0 ? 'warn' : 'hint'}>
          {say('Room in the opening: {width} by {height}.', {
            width: sayMm(room.widthMm),
            height: sayMm(room.heightMm),
          })}{' '}
          <Why
            kind="fit-room"
            of={say('room in the opening')}
            inputs={[
              [say('tight size of opening'), sayPanelMm(tight!.widthMm, tight!.heightMm)],
              [say('trial fit'), sayPanelMm(widthMm!, heightMm!)],
            ]}
          />
        </p>
      ) : null}
      <TextField
        label={say('Cemented on')}
        hint="2026-05-04"
        value={cemented}
        onValue={setCemented}
      />
      <TextField label={say('Cures until')} hint="2026-05-18" value={cure} onValue={setCure} />
      <p className="row also">
        <Go className="word" to={pathOf(panel.fullMark, 'compare')}>
          {say('compare the drawings before and after')}
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'send')}>
          {say('photograph the rebuilt panel')}
        </Go>
      </p>
      <Refusal why={why} />
      <p className="row">
        <button
          type="button"
          className="quiet"
          disabled={busy}
          onClick={() => {
            keep(false);
          }}
        >
          {say('keep the list as it stands')}
        </button>
        <button
          type="button"
          className="act"
          disabled={busy}
          onClick={() => {
            keep(true);
          }}
        >
          {say('close the list')}
        </button>
        {isClosed && !isSigned ? (
          <button
            type="button"
            className="act"
            disabled={busy}
            onClick={() =>
              void run(async () => {
                await signRebuild(panel.panelId);
                afterwards();
              })
            }
          >
            {say('sign the rebuilt panel')}
          </button>
        ) : null}
      </p>
      {isSigned ? <p role="status">{say('Signed.')}</p> : null}
    </section>
  );
}
