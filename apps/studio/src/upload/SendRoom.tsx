import './upload.css';
import { type DragEvent, useState } from 'react';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import {
  type LightKind,
  lightKinds,
  type MediaKind,
  mediaKinds,
  type Stage,
  stages,
} from '../platform/api/media.js';
import type { Face, Layer } from '../platform/api/panels.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { useHere } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { sayBytes } from '../platform/say-number.js';
import { useSession } from '../platform/session.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { ClockFace } from './ClockFace.js';
import type { SendState } from './sending.js';
import { type Item, useSendings } from './use-sendings.js';

/** Pictures and papers of one panel: pick, drop or photograph, say what they show, send. */
export function SendRoom({ bench }: { bench: Bench }) {
  const { panel } = bench;
  const { me } = useSession();
  const { place } = useHere();
  const startKind: MediaKind =
    place.on === 'mark' && place.thing === 'rubbing' ? 'rubbing' : 'photograph';
  const [kind, setKind] = useState<MediaKind>(startKind);
  const [light, setLight] = useState<LightKind>('transmitted');
  const [clockHour, setClockHour] = useState<number | null>(9);
  const [elevation, setElevation] = useState('15');
  const [stage, setStage] = useState<Stage>('before');
  const [face, setFace] = useState<Face>('inside');
  const [layer, setLayer] = useState<Layer>('front');
  const [happened, setHappened] = useState(today());
  const [author, setAuthor] = useState(me.displayName);
  const [note, setNote] = useState('');
  const [over, setOver] = useState(false);
  const { items, add, sendAll, pause, resume, drop } = useSendings(bench.again);
  const waiting = items.filter((item) => item.state.is === 'here' || item.state.is === 'refused');
  const kept = items.filter((item) => item.state.is === 'kept').length;

  const drop_ = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    add(event.dataTransfer.files);
  };
  return (
    <Shell
      mark={panel.fullMark}
      sentence={<>{rich('sending pictures of {b}', { b: <b>{panel.mark}</b> })}</>}
    >
      <div className="scroll">
        <section
          className="paper wide stack"
          onDragOver={(event) => {
            event.preventDefault();
            setOver(true);
          }}
          onDragLeave={() => {
            setOver(false);
          }}
          onDrop={drop_}
          data-over={over}
        >
          <div>
            <h1>{rich('Pictures of {mark}', { mark: panel.mark })}</h1>
            <p className="sub">
              {say('Originals are kept as they are, byte for byte, and named by their digest.')}
            </p>
          </div>
          <div className="pick">
            <label className="act">
              {rich('Take or choose pictures{input}', {
                input: (
                  <input
                    type="file"
                    multiple
                    accept="image/*,.dng,.heic,.heif,.tif,.tiff,application/pdf"
                    onChange={(event) => {
                      add(event.target.files ?? []);
                      event.target.value = '';
                    }}
                  />
                ),
              })}
            </label>
            <span className="hint">{say('or drop files anywhere on this sheet')}</span>
          </div>
          {items.length === 0 ? null : (
            <ul className="lines" aria-label={say('Files')}>
              {items.map((item) => (
                <ItemLine key={item.key} item={item} pause={pause} resume={resume} drop={drop} />
              ))}
            </ul>
          )}
          <OneOf
            legend={say('They are')}
            options={mediaKinds}
            value={kind}
            onValue={setKind}
            words={kindWords}
          />
          {kind === 'photograph' ? (
            <>
              <OneOf
                legend={say('Light')}
                options={lightKinds}
                value={light}
                onValue={setLight}
                words={lightWords}
              />
              {light === 'raking' ? (
                <div className="two lamp">
                  <ClockFace hour={clockHour} onHour={setClockHour} />
                  <NumberField
                    label={say('Height of the lamp over the surface, degrees')}
                    value={elevation}
                    onValue={setElevation}
                    hint={say('10 to 20 shows relief; say what it was, about')}
                  />
                </div>
              ) : null}
            </>
          ) : null}
          <OneOf
            legend={say('Stage of the work')}
            options={stages}
            value={stage}
            onValue={setStage}
          />
          <div className="two">
            <OneOf
              legend={say('Face')}
              options={['inside', 'outside'] as const}
              value={face}
              onValue={setFace}
            />
            <OneOf
              legend={say('Layer')}
              options={['front', 'back'] as const}
              value={layer}
              onValue={setLayer}
            />
          </div>
          <div className="two">
            <TextField
              label={say('Taken on')}
              hint={say('2026-03-04, 1998, or 1931~ for about')}
              value={happened}
              onValue={setHappened}
            />
            <TextField label={say('Taken by')} value={author} onValue={setAuthor} />
          </div>
          <TextField label={say('Note')} value={note} onValue={setNote} />
          <div className="row">
            <button
              type="button"
              disabled={waiting.length === 0}
              onClick={() => {
                sendAll({
                  siteId: panel.siteId,
                  kind,
                  light: kind === 'photograph' ? light : null,
                  clockHour,
                  elevationDeg: readNumber(elevation) ?? null,
                  stage,
                  face,
                  layer,
                  subjects: [panel.fullMark],
                  author,
                  happened,
                  note,
                });
              }}
            >
              {waiting.length === 0
                ? say('Nothing waits to be sent')
                : say('Send {waiting, plural, one {it} other {all #}} to the archive', {
                    waiting: waiting.length,
                  })}
            </button>
            {kept > 0 && kind === 'rubbing' ? (
              <Go className="act" to={pathOf(panel.fullMark, 'rub')}>
                {say('Go on to the marks')}
              </Go>
            ) : null}
            <ToBench mark={panel.fullMark} />
          </div>
        </section>
      </div>
    </Shell>
  );
}

function ItemLine({
  item,
  pause,
  resume,
  drop,
}: {
  item: Item;
  pause: (key: string) => void;
  resume: (key: string) => void;
  drop: (key: string) => void;
}) {
  const { state, file, key } = item;
  return (
    <li className="item">
      <span className="item-name">
        {file.name}
        <small>{sayBytes(file.size)}</small>
      </span>
      {state.is === 'sending' || state.is === 'paused' ? (
        <progress
          max={1}
          value={state.ratio}
          aria-label={say('Sending {name}', { name: file.name })}
        />
      ) : null}
      <span className={`item-state ${state.is}`} role="status">
        {sayState(state)}
      </span>
      <span>
        {state.is === 'sending' ? (
          <button
            type="button"
            className="word"
            onClick={() => {
              pause(key);
            }}
          >
            {say('pause')}
          </button>
        ) : state.is === 'paused' ? (
          <button
            type="button"
            className="word"
            onClick={() => {
              resume(key);
            }}
          >
            {say('go on')}
          </button>
        ) : state.is === 'kept' ? null : (
          <button
            type="button"
            className="word"
            onClick={() => {
              drop(key);
            }}
          >
            {say('leave out')}
          </button>
        )}
      </span>
    </li>
  );
}

const device = () =>
  window.matchMedia('(pointer: coarse)').matches
    ? say('only on this phone')
    : say('only on this computer');

/** Says exactly where the file lies. */
function sayState(state: SendState): string {
  switch (state.is) {
    case 'here':
      return device();
    case 'sending':
      return state.ratio >= 1
        ? say('sent, being checked…')
        : say('{ratio} % sent', { ratio: Math.round(state.ratio * 100) });
    case 'paused':
      return say('paused at {ratio} %; {device}', {
        ratio: Math.round(state.ratio * 100),
        device: device(),
      });
    case 'kept':
      return say('{already}in the archive{entry}{sameBytes}', {
        already: state.already ? say('already ') : '',
        entry: state.entry === null ? '' : `, ${state.entry}`,
        sameBytes:
          state.sameBytes === true
            ? say('; same bytes as here')
            : state.sameBytes === false
              ? say('; NOT the same bytes as here: send it again')
              : '',
      });
    case 'refused':
      return `${state.why} (${device()})`;
  }
}

const kindWords = (kind: MediaKind) =>
  ({
    photograph: say('photographs'),
    rubbing: say('a rubbing'),
    drawing: say('drawings'),
    document: say('documents'),
  })[kind];
const lightWords = (light: LightKind) =>
  ({
    transmitted: say('transmitted'),
    reflected: say('reflected'),
    raking: say('raking'),
    uv: say('ultraviolet'),
    ir: say('infrared'),
    mixed: say('mixed'),
  })[light];
